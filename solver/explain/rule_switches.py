"""Every rule of a case as a switch on one model, so that any set of rules can be kept or given up and solved again.

One master and its cuts serve all questions: a cut names the rule that it proves and is idle where that is given up.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Rule, waivable
from solver.choose.dominance import undominated
from solver.choose.master import Master, Outcome, bound
from solver.choose.ranking import best_first
from solver.choose.search import Goal, Options, Search
from solver.explain.algorithms import Verdict
from solver.mechanics.option import Option

_VERDICTS = {
    Outcome.OPTIMAL: Verdict.YES,
    Outcome.FEASIBLE: Verdict.YES,
    Outcome.INFEASIBLE: Verdict.NO,
    Outcome.UNDECIDED: Verdict.UNDECIDED,
}


class Switches:
    """The rules of a case that may be given up (`soft`), those that never are (`hard`), and mixes for any of them."""

    def __init__(self, problem: Problem, how: Options) -> None:
        self.problem, self.mechanics = problem, Mechanics(problem)
        self.soft, self.hard = soft_rules(problem), hard_rules(problem)
        self.every: tuple[Rule, ...] = (*self.soft, *self.hard)
        options: Sequence[Option] = problem.options
        if how.least == "now":  # an option that replaces another may still wear sooner
            options = undominated(problem, self.mechanics, options)
        self.master = Master(problem, options, self.mechanics, self.every, from_last=True)
        self.best_first = best_first(problem, options, how.least)
        self.paid_high = self.master.paid_high(how.least)
        self._search = Search(problem, self.mechanics, self.master, how)
        self._kept_by_mixes: list[frozenset[Rule]] = []

    def best(self, kept: Collection[Rule], first: Goal | None = None) -> tuple[Outcome, Assessment | None]:
        """The best mix where these rules hold and all others are given up; `first` is made least before the cost.

        Rules are named as given up only where the mix breaks them.
        """
        self._set(kept)
        return self.best_as_set(first)

    def feasible(self, kept: frozenset[Rule]) -> Verdict:
        """Whether some mix keeps these rules, all others given up: the oracle for clashes, free of any objective."""
        if any(kept <= known for known in self._kept_by_mixes):
            return Verdict.YES
        self._set(kept)
        return _VERDICTS[self.settle(None)[0]]

    def settle(self, objective: Any) -> tuple[Outcome, Assessment | None]:
        """Solve with the switches as they stand."""
        solved = self._search.settle(objective)
        if solved.outcome is not Outcome.OPTIMAL:
            return solved.outcome, None
        found = self._search.mix_of(solved)
        self._kept_by_mixes.append(frozenset(self.every).difference(found.broken))
        return solved.outcome, found

    def best_as_set(self, first: Goal | None = None) -> tuple[Outcome, Assessment | None]:
        """The best mix with the switches as they stand; `first` is made least before the cost."""
        if first is None:
            return self.settle(self.best_first)
        outcome, found = self.settle(first.expression(self.master))
        if found is None:
            return outcome, None
        reached = first.of(found)
        awake = self.master.model.new_bool_var("at the goal")
        self.master.model.add(first.expression(self.master) <= reached).only_enforce_if(awake)
        bound(awake, 1, 1)
        try:
            return self.settle(self.best_first)
        finally:
            bound(awake, 0, 0)

    def _set(self, kept: Collection[Rule]) -> None:
        self.master.switch(kept, [rule for rule in self.every if rule not in kept])


def soft_rules(problem: Problem) -> tuple[Rule, ...]:
    """The rules that a person may give up: those of the case first, then needs at sites."""
    needed = (rule for option in problem.options for rule in option.needs_waived)
    return tuple(dict.fromkeys((*filter(waivable, problem.rules), *needed)))


def hard_rules(problem: Problem) -> tuple[Rule, ...]:
    """Physics: the rules that nobody may give up."""
    return tuple(dict.fromkeys(rule for rule in problem.rules if not waivable(rule)))
