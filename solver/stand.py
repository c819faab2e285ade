"""Whether a plan stands when the case around it changes: no mix is better than it, on the terms it was chosen on."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace
from typing import TypeAlias

from solver.candidate import Candidate
from solver.choose import Chosen, Options, choose, choose_relaxed
from solver.fit import Fit
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
        self._mechanics = Mechanics(found.problem)
        self.keys = tuple(candidate.key for candidate in found.best.mix) if found.best else None
        self.rank = self._rank_of(found.problem)
        self.solved = 0

    def instead(self, changed: Problem) -> tuple[Status, Chosen | None] | None:
        """What is chosen then; None where the plan is still there, on the same terms, and nothing is better."""
        status, best = self._best(changed)
        if status is not self.status:
            return status, best
        if self.keys is None or best is None:
            return None
        return None if self._rank_of(changed) == _rank(changed, best, self.least) else (status, best)

    def stands_beside(self, fresh: Sequence[Option]) -> bool:
        """True where nothing is better even if all of these may be used besides what is there."""
        added = _with_fresh(self.problem, fresh)
        status, best = self._best(added)
        if self.rank is None or best is None:
            return status is self.status
        return _rank(added, best, self.least) == self.rank

    def _best(self, problem: Problem) -> tuple[Status, Chosen | None]:
        mechanics = self._mechanics.beside(problem)
        how = Options(time_limit_s=self.until - time.monotonic(), least=self.least)
        self.solved += 1
        choice = choose(problem, mechanics, how)
        if choice.outcome is Outcome.INFEASIBLE:
            choice = choose_relaxed(problem, mechanics, how)
        if choice.outcome is Outcome.UNDECIDED:
            raise Undecided
        best = choice.mixes[0] if choice.mixes else None
        return _status(best), best

    def _rank_of(self, problem: Problem) -> Rank | None:
        """Rank of the plan among the options of a problem; None where it is not there or breaks what none may."""
        options = self._options(problem)
        if options is None:
            return None
        mix, mechanics = tuple(option.candidate for option in options), self._mechanics.beside(problem)
        reach = {r.demand: r.reach for r in mechanics.reaches(options)}
        holds = {p.name: p.hold_n for p in mechanics.pulls(options)}
        cost = problem.cost_of(mix)
        waived: dict[Rule, None] = dict.fromkeys(rule for option in options for rule in option.needs_waived)
        broken = {rule: None for rule in problem.rules if not keeps(rule, mix, cost, reach, holds)}
        if not all(waivable(rule) for rule in broken):
            return None
        return _rank(problem, Chosen(options, tuple(waived | broken)), self.least)

    def _options(self, problem: Problem) -> tuple[Option, ...] | None:
        if self.keys is None or not problem.option_of.keys() >= set(self.keys):
            return None
        return tuple(problem.option_of[key] for key in self.keys)


def _status(best: Chosen | None) -> Status:
    if best is None:
        return Status.NONE
    if best.given_up:
        return Status.RELAXED
    return Status.FITS_IF if any(option.candidate.questions for option in best.options) else Status.FITS


def _rank(problem: Problem, chosen: Chosen, least: str) -> Rank:
    mix: tuple[Candidate, ...] = tuple(option.candidate for option in chosen.options)
    cost = problem.cost_of(mix) if least == "now" else problem.years_cost_of(mix)
    questions = {question for candidate in mix for question in candidate.questions}
    weight = sum(severity(rule, problem.case) for rule in chosen.given_up)
    return weight, cost.high, len(questions), sum(candidate.parts for candidate in mix)


def _with_fresh(problem: Problem, fresh: Sequence[Option]) -> Problem:
    """The case with these options besides its own, each under a name of its own."""
    added: dict[str, list[Candidate]] = {}
    for number, option in enumerate(fresh):
        candidate = option.candidate
        renamed = candidate.attachment.model_copy(update={"id": f"{candidate.attachment.id}~{number}"})
        added.setdefault(option.site, []).append(replace(candidate, attachment=renamed))
    sites = (replace(found, usable=(*found.usable, *added.get(found.site.id, ()))) for found in problem.fit.sites)
    return replace(problem, fit=Fit(tuple(sites)))
