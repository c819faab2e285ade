"""Every rule of a case as a switch on one model, so that any set of rules can be kept or given up and solved again.

One master and its cuts serve all questions: a cut names the rule that it proves and is idle where that is given up.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from solver.candidate import Candidate, Question
from solver.choose import Chosen, Goal, Options, Search, has_ceiling
from solver.conflict import Verdict
from solver.given_up import GivenUp, given_up_by
from solver.keeps import keeps
from solver.master import Master, Outcome, bound
from solver.mechanics import Mechanics
from solver.money import Cost
from solver.newtons import force
from solver.problem import Least, Option, Problem
from solver.prune import undominated
from solver.ranking import best_first
from solver.rules import Rule, waivable
from solver.verify import verify
from solver.verify_years import verify_years

HOLD_HIGH = Goal(lambda master: master.hold_high, lambda _, mix: sum(force(candidate.high_n) for candidate in mix))
"""What a hand may have to overcome, made small."""

_VERDICTS = {
    Outcome.OPTIMAL: Verdict.YES,
    Outcome.FEASIBLE: Verdict.YES,
    Outcome.INFEASIBLE: Verdict.NO,
    Outcome.UNDECIDED: Verdict.UNDECIDED,
}


@dataclass(frozen=True, slots=True)
class Offer:
    """A mix with its cost and what is given up for it: a plan without the detail."""

    mix: tuple[Candidate, ...]
    cost: Cost
    cost_years: Cost
    given_up: tuple[GivenUp, ...]

    def paid(self, least: Least) -> Cost:
        """The cost that is made least."""
        return self.cost if least == "now" else self.cost_years

    @property
    def low_n(self) -> float:
        """Retention to count on."""
        return sum(candidate.low_n for candidate in self.mix)

    @property
    def high_n(self) -> float:
        """Retention that a hand may have to overcome."""
        return sum(candidate.high_n for candidate in self.mix)

    @property
    def questions(self) -> tuple[Question, ...]:
        """What it hangs on."""
        return tuple(dict.fromkeys(question for candidate in self.mix for question in candidate.questions))


class Switches:
    """The rules of a case that may be given up (`soft`), those that never are (`hard`), and mixes for any of them."""

    def __init__(self, problem: Problem, how: Options) -> None:
        self.problem, self.mechanics = problem, Mechanics(problem)
        self.soft, self.hard = soft_rules(problem), hard_rules(problem)
        self.every: tuple[Rule, ...] = (*self.soft, *self.hard)
        options: Sequence[Option] = problem.options
        if how.least == "now":  # an option that replaces another may still wear sooner
            options = undominated(options, ceiling=has_ceiling(problem))
        self.master = Master(problem, options, self.every, from_last=True)
        self.best_first = best_first(problem, options, how.least)
        self.paid_high = self.master.paid_high(how.least)
        self._search = Search(problem, self.mechanics, self.master, how)
        self._kept_by_mixes: list[frozenset[Rule]] = []

    def best(self, kept: Collection[Rule], first: Goal | None = None) -> tuple[Outcome, Chosen | None]:
        """The best mix where these rules hold and all others are given up; `first` is made least before the cost.

        Rules are named as given up only where the mix breaks them.
        """
        self._set(kept)
        outcome, found = self.best_as_set(first)
        return outcome, self._plainly(found) if found else None

    def feasible(self, kept: frozenset[Rule]) -> Verdict:
        """Whether some mix keeps these rules, all others given up: the oracle for clashes, free of any objective."""
        if any(kept <= known for known in self._kept_by_mixes):
            return Verdict.YES
        self._set(kept)
        outcome, found = self.settle(None)
        if found:
            self._plainly(found)
        return _VERDICTS[outcome]

    def settle(self, objective: Any) -> tuple[Outcome, Chosen | None]:
        """Solve with the switches as they stand; a rule is named as given up where its switch is, broken or not."""
        outcome, indices, given_up = self._search.settle(objective)
        if outcome is not Outcome.OPTIMAL:
            return outcome, None
        self._kept_by_mixes.append(frozenset(self.every) - given_up)
        return outcome, self._search.chosen(indices, given_up)

    def best_as_set(self, first: Goal | None = None) -> tuple[Outcome, Chosen | None]:
        """The best mix with the switches as they stand; `first` is made least before the cost."""
        if first is None:
            return self.settle(self.best_first)
        outcome, found = self.settle(first.expression(self.master))
        if found is None:
            return outcome, None
        reached = first.of(self.problem, [option.candidate for option in found.options])
        awake = self.master.model.new_bool_var("at the goal")
        self.master.model.add(first.expression(self.master) <= reached).only_enforce_if(awake)
        bound(awake, 1, 1)
        try:
            return self.settle(self.best_first)
        finally:
            bound(awake, 0, 0)

    def offer(self, chosen: Chosen) -> Offer:
        """A mix priced, and derived a second time; raises `InternalFault` on a mismatch."""
        mix = tuple(option.candidate for option in chosen.options)
        cost = self.problem.cost_of(mix)
        reaches, pulls = self.mechanics.reaches(chosen.options), self.mechanics.pulls(chosen.options)
        verify(self.problem, mix, cost, reaches, chosen.given_up, pulls)
        hold_n = {pull.name: pull.hold_n for pull in pulls}
        years = self.problem.years_cost_of(mix)
        verify_years(self.problem, mix, years)
        return Offer(mix, cost, years, given_up_by(chosen.given_up, mix, cost, reaches[0].reach, hold_n))

    def _set(self, kept: Collection[Rule]) -> None:
        self.master.switch(kept, [rule for rule in self.every if rule not in kept])

    def _plainly(self, found: Chosen) -> Chosen:
        """The mix with the rules that it breaks instead of all that it may; what it keeps is remembered."""
        mix = tuple(option.candidate for option in found.options)
        cost = self.problem.cost_of(mix)
        reach = {r.demand: r.reach for r in self.mechanics.reaches(found.options)}
        hold_n = {p.name: p.hold_n for p in self.mechanics.pulls(found.options)}
        broken = tuple(rule for rule in found.given_up if not keeps(rule, mix, cost, reach, hold_n))
        self._kept_by_mixes.append(frozenset(self.every).difference(broken))
        return replace(found, given_up=broken)


def soft_rules(problem: Problem) -> tuple[Rule, ...]:
    """The rules that a person may give up: those of the case first, then needs at sites."""
    needed = (rule for option in problem.options for rule in option.needs_waived)
    return tuple(dict.fromkeys((*filter(waivable, problem.rules), *needed)))


def hard_rules(problem: Problem) -> tuple[Rule, ...]:
    """Physics: the rules that nobody may give up."""
    return tuple(dict.fromkeys(rule for rule in problem.rules if not waivable(rule)))
