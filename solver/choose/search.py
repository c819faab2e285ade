"""Choose the mix: CP-SAT proposes the cheapest, mechanics answers with cuts, until one stands with proof.

Of the mixes that keep every rule the cheapest is not always taken: one that is alike on both sides and cuts no bar is
worth more (see `terms`).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rules import Rule, waivable
from solver.choose.cutter import Cutter, grip_of
from solver.choose.dominance import undominated
from solver.choose.master import Master, Outcome, Solved
from solver.choose.ranking import Ranking, best_first
from solver.choose.shortcut import Straight, go_straight
from solver.choose.terms import TermsSearch
from solver.choose.tie_break import Balance


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
class Choice:
    """The mixes found, best first, and how far that is proved."""

    outcome: Outcome
    mixes: tuple[Assessment, ...]
    rounds: int
    cuts: int

    @property
    def best(self) -> Assessment | None:
        """The first mix."""
        return self.mixes[0] if self.mixes else None


@dataclass(frozen=True, slots=True)
class Goal:
    """A whole number to be made small: as an expression of the master, and of a mix."""

    expression: Callable[[Master], Any]
    of: Callable[[Assessment], int]


def choose(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    *,
    require: Sequence[Collection[str]] = (),
    forbid: Collection[str] = (),
    without: Iterable[Rule] = (),
) -> Choice:
    """Return the best mixes that keep every rule; INFEASIBLE where none does.

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
        options = undominated(problem, mechanics, options, require)
    search = Search(problem, mechanics, Master(problem, options, mechanics, idle), how, until)
    search.master.restrict(require, idle)
    search.rounds, search.cuts = rounds, cuts
    return search.preferred()


def _settled(short: Straight) -> Choice:
    """What the short way proved."""
    if short.mix is None:
        return Choice(Outcome.INFEASIBLE, (), short.rounds, short.cuts)
    return Choice(Outcome.OPTIMAL, (short.mix,), short.rounds, short.cuts)


def choose_least(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    goals: Sequence[Goal],
    at_most: Sequence[tuple[Goal, int]] = (),
    *,
    prune: bool = False,
) -> Choice:
    """Return the mix that makes the goals least, the first before the second; of those the best.

    Goals in `at_most` are no more than that. `prune` only where an option that replaces another (see
    `solver.choose.dominance`) is no worse for any of the goals.
    """
    options = [option for option in problem.options if not option.needs_waived]
    master = Master(problem, undominated(problem, mechanics, options) if prune else options, mechanics)
    search = Search(problem, mechanics, master, how)
    for goal, most in at_most:
        search.limit(goal, most)
    return search.least(goals)


def choose_relaxed(
    problem: Problem,
    mechanics: Mechanics,
    how: Options,
    *,
    require: Sequence[Collection[str]] = (),
    forbid: Collection[str] = (),
    only: Collection[Rule] | None = None,
) -> Choice:
    """Return the mix that gives up the least, then costs the least; INFEASIBLE where physics forbids every mix.

    What only the usual tier promises goes first: a mix that gives up nothing else keeps the promise of a stopgap.
    `require` and `forbid` as in `choose`; `only` these rules are given up.
    """
    soft = dict.fromkeys(rule for rule in (*problem.rules, *problem.stopgap) if waivable(rule))
    soft.update(dict.fromkeys(rule for option in problem.options for rule in option.needs_waived))
    chosen = tuple(rule for rule in soft if only is None or rule in only)
    options = [o for o in problem.options if o.candidate.key not in forbid and set(o.needs_waived) <= set(chosen)]
    rules = (*problem.rules, *(problem.stopgap if only is None else ()))
    master = Master(problem, options, mechanics, chosen, rules=rules, weighing=True)
    master.restrict(require)
    search = Search(problem, mechanics, master, how)
    return search.least([Goal(lambda master: master.given_up, search.weight_given_up)])


class Search:
    """The loop of master and mechanics on one model; cuts stay valid from one question to the next."""

    def __init__(
        self, problem: Problem, mechanics: Mechanics, master: Master, how: Options, until: float | None = None
    ) -> None:
        self.problem, self.mechanics, self.master, self.how = problem, mechanics, master, how
        self.until = time.monotonic() + how.time_limit_s if until is None else until
        self.rounds = self.cuts = 0
        self._cutter = Cutter(problem, master.options, mechanics)
        self._limits: list[tuple[Goal, int]] = []

    @cached_property
    def _ranking(self) -> Ranking:
        return best_first(self.problem, self.master.options, self.how.least)

    def limit(self, goal: Goal, most: int) -> None:
        """From now on a goal is no more than this."""
        self.master.model.add(goal.expression(self.master) <= most)
        self._limits.append((goal, most))

    def preferred(self) -> Choice:
        """Return the best mixes on the terms worth keeping.

        A mix that goes without a preference must save its share. The cheapest mix of all is known first; another set
        of terms is searched only while what it costs at the least, raised for what it goes without, could still win.
        """
        terms = TermsSearch(self.problem, self.how.least)
        while (wanted := terms.next()) is not None:
            self.master.prefer(wanted)
            found = self.settle(self._ranking)
            if found.outcome is Outcome.UNDECIDED or (found.outcome is Outcome.INFEASIBLE and not wanted):
                return self._choice(found.outcome, [])
            terms.learn(wanted, found, self._mix(found.picked) if found.outcome is Outcome.OPTIMAL else None)
        best, mix = terms.best
        self.master.prefer(
            [preference for preference in self.problem.preferences if preference not in mix.unpreferred]
        )
        return self._list(best)

    def _list(self, first: Solved) -> Choice:
        """The best mixes from the first on, as many as are asked for; of equals those that balance come first."""
        mixes: list[Assessment] = []
        taken: list[tuple[int, ...]] = []
        balance = Balance(self.problem, self.mechanics, self.master.options, self._ranking, self._may_be_taken)
        found = first
        while found.outcome is Outcome.OPTIMAL:
            taken.append(balance.of(found.picked, found.given_up, taken, self.until))
            mixes.append(self._mix(taken[-1]))
            if len(mixes) == self.how.plans:
                break
            self.master.forbid(taken[-1], exactly=True)
            found = self.settle(self._ranking)
        return self._choice(Outcome.UNDECIDED if found.outcome is Outcome.UNDECIDED else Outcome.OPTIMAL, mixes)

    def _may_be_taken(self, mix: Assessment) -> bool:
        """True where a mix has one of each that is required and stays within the limits of its goals."""
        required = all(not set(mix.keys).isdisjoint(keys) for keys in self.master.required)
        return required and all(goal.of(mix) <= most for goal, most in self._limits)

    def cheapest(self) -> Choice:
        """Return the cheapest mix that keeps the preferences which the master was told of."""
        found = self.settle(self._ranking)
        if found.outcome is not Outcome.OPTIMAL:
            return self._choice(found.outcome, [])
        return self._list(found)

    def made_least(self, goal: Goal) -> Assessment | None:
        """Return any of the mixes that make a goal least; None where there is none, or time is up."""
        found = self.settle(goal.expression(self.master))
        return self._mix(found.picked) if found.outcome is Outcome.OPTIMAL else None

    def least(self, goals: Sequence[Goal]) -> Choice:
        """Return the best of the mixes that make the goals least, the first before the second."""
        for goal in goals:
            found = self.settle(goal.expression(self.master))
            if found.outcome is not Outcome.OPTIMAL:
                return self._choice(found.outcome, [])
            self.limit(goal, goal.of(self._mix(found.picked)))
        return self.preferred()

    def weight_given_up(self, mix: Assessment) -> int:
        """What a mix gives up weighs, of all the rules that are asked here."""
        needed = (rule for option in mix.options for rule in option.needs_waived)
        rules = dict.fromkeys((*self.master.rules, *needed))
        return sum(mix.missed(rule).weight for rule in rules if not rule.kept(mix))

    def settle(self, objective: object | None) -> Solved:
        """Propose and cut until a proposal stands; it is then the optimum, since cuts remove no good mix.

        Without an objective any mix that stands will do.
        """
        while True:
            self.rounds += 1
            found = self.master.solve(objective, self.until - time.monotonic())
            if found.outcome is Outcome.FEASIBLE:
                return Solved(Outcome.UNDECIDED)
            if found.outcome is not Outcome.OPTIMAL or not self._cut(found):
                return found

    def _cut(self, found: Solved) -> bool:
        """Add what mechanics holds against a proposal; False where it stands."""
        mix = self._mix(found.picked)
        in_force = [rule for rule in self.master.rules if rule not in found.given_up or rule in found.over]
        over = {rule: per_cent for rule, per_cent in found.over.items() if rule in found.given_up}
        cuts = list(self._cutter.against(mix, in_force, over, found.picked))
        if self.master.counts_grip:
            cuts += self._cutter.below_grip(mix, found.grip, found.picked)
        for cut in cuts:
            self.master.add(cut)
        self.cuts += len(cuts)
        return bool(cuts)

    def mix_of(self, found: Solved) -> Assessment:
        """The mix that was found."""
        return self._mix(found.picked)

    def _mix(self, indices: Iterable[int]) -> Assessment:
        return assess(self.problem, self.mechanics, (self.master.options[i] for i in indices))

    def _choice(self, outcome: Outcome, mixes: Sequence[Assessment]) -> Choice:
        return Choice(outcome, tuple(mixes), self.rounds, self.cuts)


LEAST_PULL = Goal(lambda master: -master.grip, lambda mix: -grip_of(mix))
"""The least pull that a tier asks of, made large."""
