"""Choose the mix: CP-SAT proposes the cheapest, mechanics answers with cuts, until one stands with proof."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from solver.balance import Balance
from solver.candidate import Candidate
from solver.cuts import Cutter
from solver.master import Master, Outcome
from solver.mechanics import Mechanics
from solver.problem import Least, Option, Problem
from solver.prune import undominated
from solver.ranking import best_first
from solver.rules import HoldCeiling, Rule, severity, waivable
from solver.straight import Straight, go_straight


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How to search: wall seconds in all, how many best mixes, and which cost is made least."""

    time_limit_s: float = 30.0
    plans: int = 1
    least: Least = "now"

    def left(self, until: float) -> Options:
        """The same search with the time that is left `until` then (of `time.monotonic`)."""
        return replace(self, time_limit_s=max(until - time.monotonic(), 0.001))


@dataclass(frozen=True, slots=True)
class Chosen:
    """A mix in order of site, with the rules given up for it."""

    options: tuple[Option, ...]
    given_up: tuple[Rule, ...] = ()


@dataclass(frozen=True, slots=True)
class Choice:
    """The mixes found, best first, and how far that is proved."""

    outcome: Outcome
    mixes: tuple[Chosen, ...]
    rounds: int
    cuts: int


@dataclass(frozen=True, slots=True)
class Goal:
    """A whole number to be made small: as an expression of the master, and of a mix."""

    expression: Callable[[Master], Any]
    of: Callable[[Problem, Sequence[Candidate]], int]


def choose(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    *,
    require: Sequence[Collection[str]] = (),
    forbid: Collection[str] = (),
    without: Iterable[Rule] = (),
) -> Choice:
    """The best mixes that keep every rule; INFEASIBLE where none does.

    Of each set of candidate keys in `require` one is picked, none of `forbid` is; rules in `without` do not count.
    """
    options = [o for o in problem.options if not o.needs_waived and o.candidate.key not in forbid]
    idle = tuple(dict.fromkeys(without))
    until, rounds, cuts = time.monotonic() + how.time_limit_s, 0, 0
    if how.plans == 1 and not require and not idle:
        short = go_straight(problem, mechanics, options, how.least, until)
        if short.settled:
            return _settled(short)
        options, rounds, cuts = list(short.options), short.rounds, short.cuts
    if how.plans == 1 and how.least == "now":  # an option that replaces another may still wear sooner
        options = undominated(options, require, ceiling=has_ceiling(problem))
    search = Search(problem, mechanics, Master(problem, options, idle), how, until)
    search.master.restrict(require, idle)
    search.rounds, search.cuts = rounds, cuts
    return search.best()


def _settled(short: Straight) -> Choice:
    """What the short way proved."""
    if short.mix is None:
        return Choice(Outcome.INFEASIBLE, (), short.rounds, short.cuts)
    return Choice(Outcome.OPTIMAL, (Chosen(short.mix),), short.rounds, short.cuts)


def choose_least(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    goals: Sequence[Goal],
    at_most: Sequence[tuple[Goal, int]],
    *,
    prune: bool,
) -> Choice:
    """The mix that makes the goals least, the first before the second; of those the best.

    Goals in `at_most` are no more than that. `prune` only where an option that replaces another (see `solver.prune`)
    is no worse for any of the goals.
    """
    options = [option for option in problem.options if not option.needs_waived]
    master = Master(problem, undominated(options, ceiling=has_ceiling(problem)) if prune else options)
    for goal, most in at_most:
        master.model.add(goal.expression(master) <= most)
    return Search(problem, mechanics, master, how).least(goals)


def choose_relaxed(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    *,
    require: Sequence[Collection[str]] = (),
    forbid: Collection[str] = (),
) -> Choice:
    """The mix that gives up the least, then costs the least; INFEASIBLE where physics forbids every mix.

    `require` and `forbid` as in `choose`.
    """
    soft = dict.fromkeys(rule for rule in problem.rules if waivable(rule))
    soft.update(dict.fromkeys(rule for option in problem.options for rule in option.needs_waived))
    options = [option for option in problem.options if option.candidate.key not in forbid]
    master = Master(problem, options, tuple(soft))
    master.restrict(require)
    return Search(problem, mechanics, master, how).least_given_up(
        {rule: severity(rule, problem.case) for rule in soft}
    )


def has_ceiling(problem: Problem) -> bool:
    """True where the case limits how firmly the denture may hold."""
    return any(isinstance(rule, HoldCeiling) for rule in problem.rules)


class Search:
    """The loop of master and mechanics on one model; cuts stay valid from one question to the next."""

    def __init__(
        self, problem: Problem, mechanics: Mechanics, master: Master, how: Options, until: float | None = None
    ) -> None:
        self.problem, self.mechanics, self.master, self.how = problem, mechanics, master, how
        self.until = time.monotonic() + how.time_limit_s if until is None else until
        self.rounds = self.cuts = 0
        self._cutter = Cutter(master.options, mechanics)

    def best(self) -> Choice:
        """The best mixes, as many as are asked for; of equals those that balance come first."""
        mixes: list[Chosen] = []
        taken: list[tuple[int, ...]] = []
        objective = best_first(self.problem, self.master.options, self.how.least)
        balance = Balance(self.problem, self.mechanics, self.master.options, objective, self.master.required)
        while len(mixes) < self.how.plans:
            outcome, indices, given_up = self.settle(objective)
            if outcome is not Outcome.OPTIMAL:
                return self._choice(outcome if not mixes or outcome is Outcome.UNDECIDED else Outcome.OPTIMAL, mixes)
            taken.append(balance.of(indices, given_up, taken, self.until))
            mixes.append(self.chosen(taken[-1], given_up))
            self.master.forbid(taken[-1], exactly=True)
        return self._choice(Outcome.OPTIMAL, mixes)

    def least_given_up(self, weights: Mapping[Rule, int]) -> Choice:
        """The best of the mixes that give up the least weight."""
        waived = self.master.severity_of_waivers(weights)
        outcome, _, given_up = self.settle(waived)
        if outcome is not Outcome.OPTIMAL:
            return self._choice(outcome, [])
        self.master.model.add(waived <= sum(weights[rule] for rule in given_up))
        return self.best()

    def least(self, goals: Sequence[Goal]) -> Choice:
        """The best of the mixes that make the goals least, the first before the second."""
        for goal in goals:
            expression = goal.expression(self.master)
            outcome, indices, _ = self.settle(expression)
            if outcome is not Outcome.OPTIMAL:
                return self._choice(outcome, [])
            reached = goal.of(self.problem, [self.master.options[i].candidate for i in indices])
            self.master.model.add(expression <= reached)
        return self.best()

    def settle(self, objective: object | None) -> tuple[Outcome, tuple[int, ...], frozenset[Rule]]:
        """Propose and cut until a proposal stands; it is then the optimum, since cuts remove no good mix.

        Without an objective any mix that stands will do.
        """
        while True:
            self.rounds += 1
            outcome, indices, given_up = self.master.solve(objective, self.until - time.monotonic())
            if outcome is Outcome.FEASIBLE:
                return Outcome.UNDECIDED, (), frozenset()
            if outcome is not Outcome.OPTIMAL or not self._cut(indices, given_up):
                return outcome, indices, given_up

    def _cut(self, indices: Sequence[int], given_up: frozenset[Rule]) -> bool:
        """Add what mechanics holds against a proposal; False where it stands."""
        mix = [self.master.options[i] for i in indices]
        cuts = list(self._cutter.against(self.mechanics.conflicts(mix, given_up)))
        cuts += [self._cutter.against_pull(*weak, indices) for weak in self.mechanics.weak_pulls(mix, given_up)]
        for cut in cuts:
            self.master.add(cut)
        self.cuts += len(cuts)
        return bool(cuts)

    def chosen(self, indices: Sequence[int], given_up: frozenset[Rule]) -> Chosen:
        """The mix of these indices, with the rules given up in order of their codes."""
        options = tuple(self.master.options[i] for i in indices)
        return Chosen(options, tuple(sorted(given_up, key=lambda rule: rule.code)))

    def _choice(self, outcome: Outcome, mixes: Sequence[Chosen]) -> Choice:
        return Choice(outcome, tuple(mixes), self.rounds, self.cuts)
