"""Choose the mix: CP-SAT proposes the cheapest, mechanics answers with cuts, until one stands with proof."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from solver.candidate import Candidate
from solver.master import Cut, Master, Outcome
from solver.mechanics import HOLD_TOLERANCE_N, Mechanics
from solver.movement import REACH_TOLERANCE, Reach
from solver.problem import Least, Option, Problem
from solver.prune import undominated
from solver.pulls import lift_worth
from solver.rules import HoldCeiling, Moves, Rule, severity, waivable
from solver.worth import SiteWorth

log = logging.getLogger(__name__)


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
    if how.plans == 1 and how.least == "now":  # an option that replaces another may still wear sooner
        options = undominated(options, require, ceiling=has_ceiling(problem))
    idle = tuple(dict.fromkeys(without))
    master = Master(problem, options, idle)
    master.restrict(require, idle)
    return Search(problem, mechanics, master, how).best()


def choose_least(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    goals: Sequence[Goal],
    at_most: Sequence[tuple[Goal, int]] = (),
    *,
    prune: bool = True,
) -> Choice:
    """The mix that makes the goals least, the first before the second; of those the best.

    `prune` only where an option that replaces another (see `solver.prune`) is no worse for any of the goals.
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

    def __init__(self, problem: Problem, mechanics: Mechanics, master: Master, how: Options) -> None:
        self.problem, self.mechanics, self.master, self.how = problem, mechanics, master, how
        self.until = time.monotonic() + how.time_limit_s
        self.rounds = self.cuts = 0
        self._worth: dict[str, SiteWorth] = {}

    def best(self) -> Choice:
        """The best mixes, as many as are asked for."""
        mixes: list[Chosen] = []
        objective = self.master.best_first(self.how.least)
        while len(mixes) < self.how.plans:
            outcome, indices, given_up = self.settle(objective)
            if outcome is not Outcome.OPTIMAL:
                return self._choice(outcome if not mixes or outcome is Outcome.UNDECIDED else Outcome.OPTIMAL, mixes)
            mixes.append(self.chosen(indices, given_up))
            self.master.forbid(indices, exactly=True)
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
        master = self.master
        index_of = {id(master.options[i]): i for i in indices}
        conflicts = self.mechanics.conflicts([master.options[i] for i in indices], given_up)
        for rule, options, reach in ((c.rule, c.options, c.reach) for c in conflicts):
            master.add(self._cut_from(rule, reach))
            # Rounding may leave the proposal on the edge of its own cut; these together are proved to fail.
            master.forbid((index_of[id(option)] for option in options), exactly=False, rule=rule)
            self.cuts += 1
            log.debug("%s: reach %.4f, cut over %s", rule.code, reach.reach, ", ".join(reach.wrenches))
        return self._cut_pulls(indices, given_up) or bool(conflicts)

    def _cut_pulls(self, indices: Sequence[int], given_up: frozenset[Rule]) -> bool:
        """Add the lift fields of pulls that are not taken: more must hold where the denture would lift."""
        master = self.master
        weak = self.mechanics.weak_pulls([master.options[i] for i in indices], given_up)
        for rule, hold in weak:
            worth = {
                site: {i: lift_worth(hold.pull.lift, master.options[i]) for i in ids}
                for site, ids in master.at.items()
            }
            master.add(Cut(rule, worth, 0.0, rule.least_n - HOLD_TOLERANCE_N, empty_is_slack=False))
            master.forbid(indices, exactly=True, rule=rule)
            self.cuts += 1
            log.debug("%s: %.2f N", rule.code, hold.hold_n)
        return bool(weak)

    def _cut_from(self, rule: Moves, reach: Reach) -> Cut:
        """The LP's dual as a cut over every option of the sites it touches (weak duality)."""
        worth = {}
        for site, wrenches in reach.wrenches.items():
            if site not in self._worth:
                parts = [self.master.options[i].placements for i in self.master.at[site]]
                self._worth[site] = SiteWorth(parts)
            worth[site] = dict(zip(self.master.at[site], self._worth[site].under(wrenches).tolist(), strict=True))
        return Cut(rule, worth, reach.constant, rule.share - REACH_TOLERANCE)

    def chosen(self, indices: Sequence[int], given_up: frozenset[Rule]) -> Chosen:
        """The mix of these indices, with the rules given up in order of their codes."""
        options = tuple(self.master.options[i] for i in indices)
        return Chosen(options, tuple(sorted(given_up, key=lambda rule: rule.code)))

    def _choice(self, outcome: Outcome, mixes: Sequence[Chosen]) -> Choice:
        return Choice(outcome, tuple(mixes), self.rounds, self.cuts)
