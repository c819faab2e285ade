"""Whether a plan stands when the case around it changes: no mix is better than it, on the terms it was chosen on."""

from __future__ import annotations

import time
from functools import cached_property
from typing import TypeAlias

from solver.candidate import Candidate
from solver.choose import Chosen, Options, choose, choose_relaxed
from solver.keeps import keeps
from solver.master import Outcome
from solver.mechanics import Mechanics
from solver.plan import Answer, Status
from solver.problem import Option, Problem
from solver.rules import Rule, severity, waivable

Rank: TypeAlias = tuple[int, int, int, int]
"""Severity of what is given up, cost (minor units, high end), open questions, parts: the least is the best."""


class Undecided(Exception):
    """The time ran out."""


class Incumbent:
    """A plan that is to stand, and the searches for a better one."""

    def __init__(self, found: Answer, until: float) -> None:
        self.problem, self.status, self.least, self.until = found.problem, found.status, found.least, until
        self.mechanics = Mechanics(found.problem)
        self.keys = tuple(candidate.key for candidate in found.best.mix) if found.best else None
        self.solved = 0

    @property
    def how(self) -> Options:
        """How to search in the time that is left."""
        return Options(time_limit_s=self.until - time.monotonic(), least=self.least)

    def instead(self, changed: Problem) -> tuple[Status, Chosen | None] | None:
        """What is chosen then; None where the plan is still there, on the same terms, and nothing is better."""
        status, best = self._best(changed)
        if status is not self.status:
            return status, best
        if self.keys is None or best is None:
            return None
        return None if self.rank_in(changed) == rank_of(changed, best, self.least) else (status, best)

    def _best(self, problem: Problem) -> tuple[Status, Chosen | None]:
        mechanics, how = self.mechanics.beside(problem), self.how
        self.solved += 1
        choice = choose(problem, mechanics, how)
        if choice.outcome is Outcome.INFEASIBLE:
            choice = choose_relaxed(problem, mechanics, how)
        if choice.outcome is Outcome.UNDECIDED:
            raise Undecided
        best = choice.mixes[0] if choice.mixes else None
        return _status(best), best

    @cached_property
    def rank(self) -> Rank | None:
        """Rank of the plan as things are; None where nothing fits."""
        return self.rank_in(self.problem)

    def rank_in(self, problem: Problem) -> Rank | None:
        """Rank of the plan among the options of a problem; None where it is not there or breaks what none may."""
        options = self._options(problem)
        if options is None:
            return None
        mix, mechanics = tuple(option.candidate for option in options), self.mechanics.beside(problem)
        reach = {r.demand: r.reach for r in mechanics.reaches(options)}
        holds = {p.name: p.hold_n for p in mechanics.pulls(options)}
        cost = problem.cost_of(mix)
        waived: dict[Rule, None] = dict.fromkeys(rule for option in options for rule in option.needs_waived)
        broken = {rule: None for rule in problem.rules if not keeps(rule, mix, cost, reach, holds)}
        if not all(waivable(rule) for rule in broken):
            return None
        return rank_of(problem, Chosen(options, tuple(waived | broken)), self.least)

    def _options(self, problem: Problem) -> tuple[Option, ...] | None:
        usable = {candidate.key: candidate for candidate in problem.fit.usable}
        if self.keys is None or not usable.keys() >= set(self.keys):
            return None
        return tuple(problem.option(usable[key]) for key in self.keys)


def _status(best: Chosen | None) -> Status:
    if best is None:
        return Status.NONE
    if best.given_up:
        return Status.RELAXED
    return Status.FITS_IF if any(option.candidate.questions for option in best.options) else Status.FITS


def rank_of(problem: Problem, chosen: Chosen, least: str) -> Rank:
    """How good a mix is."""
    mix: tuple[Candidate, ...] = tuple(option.candidate for option in chosen.options)
    cost = problem.cost_of(mix) if least == "now" else problem.years_cost_of(mix)
    weight = sum(severity(rule, problem.case) for rule in chosen.given_up)
    questions = {question for candidate in mix for question in candidate.questions}
    return weight, cost.high, len(questions), sum(c.parts for c in mix)
