"""The optimiser behind the list of waiver sets: the lightest set not yet listed, with the best mix that it opens."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, Literal

from solver.assess.assessment import Assessment
from solver.case.rules import Rule
from solver.choose.master import Outcome, bound
from solver.choose.search import Goal
from solver.explain.algorithms import Verdict
from solver.explain.rule_switches import Switches


class Lightest:
    """An `Optimiser` of `solver.explain.algorithms` on the model of the switches; constraints sleep between calls.

    Sets have at most `most` rules, which may be raised. With `below`, only mixes that cost less (high end, minor
    units, of the cost that is made least) open a set.
    """

    def __init__(self, switches: Switches, weights: Mapping[Rule, int], below: int | None = None) -> None:
        self._switches, self._weights = switches, weights
        master = switches.master
        model, waived = master.model, [master.waived[rule] for rule in switches.soft]
        self._awake = model.new_bool_var("listing")
        self._all = sum(weights[rule] for rule in switches.soft)
        self._severity = model.new_int_var(0, self._all, "severity")
        model.add(master.severity_of_waivers(weights) == self._severity).only_enforce_if(self._awake)
        self._count = model.new_int_var(0, len(waived), "rules given up")
        model.add(sum(waived) == self._count).only_enforce_if(self._awake)
        if below is not None:
            model.add(switches.paid_high < below).only_enforce_if(self._awake)
        self._blocked: set[frozenset[Rule]] = set()
        self.restart(len(waived))
        bound(self._awake, 0, 0)

    def restart(self, most: int) -> None:
        """Begin a new list, of sets of at most `most` rules."""
        self.most, self._least = most, 0

    def __call__(
        self, blocked: Sequence[frozenset[Rule]], weights: Mapping[Rule, int]
    ) -> frozenset[Rule] | Literal[Verdict.UNDECIDED] | None:
        """A set least in weight."""
        if weights != self._weights:
            raise ValueError("the weights stand in the model and cannot change")
        self._block(blocked)
        with self._listing(self.most):
            outcome, chosen = self._next()
        if outcome is Outcome.INFEASIBLE:
            return None
        if chosen is None:
            return Verdict.UNDECIDED
        return frozenset(chosen.broken)

    def more(self, blocked: Sequence[frozenset[Rule]]) -> Outcome:
        """Whether there is a set of any size that contains none of these."""
        self._block(blocked)
        with self._listing(len(self._switches.soft)):
            return self._switches.settle(None)[0]

    def opened(self, members: Collection[Rule], first: Goal | None = None) -> Assessment | None:
        """The best mix that a set just found opens; `first` is made least before the cost. None for want of time."""
        with self._listing(self.most):
            self._switches.master.switch([rule for rule in self._switches.every if rule not in members], members)
            return self._switches.best_as_set(first)[1]

    @contextmanager
    def _listing(self, most: int) -> Iterator[None]:
        self._switches.master.switch(self._switches.hard)
        bound(self._count, 0, most)
        bound(self._severity, 0, self._all)
        bound(self._awake, 1, 1)
        try:
            yield
        finally:
            bound(self._awake, 0, 0)

    def _next(self) -> tuple[Outcome, Assessment | None]:
        """A set of the least weight known; where those are used up, of the least above it."""
        found = self._within(self._least, self._least, None)
        if found[0] is not Outcome.INFEASIBLE:
            return found
        found = self._within(self._least, self._all, self._severity)
        if found[1]:
            self._least = sum(self._weights[rule] for rule in found[1].broken)
        return found

    def _within(self, least: int, most: int, objective: Any) -> tuple[Outcome, Assessment | None]:
        bound(self._severity, least, most)
        return self._switches.settle(objective)

    def _block(self, blocked: Sequence[frozenset[Rule]]) -> None:
        """Of every set listed so far one rule is kept."""
        master = self._switches.master
        for each in blocked:
            if each not in self._blocked:
                kept = [master.waived[rule].negated() for rule in self._switches.soft if rule in each]
                master.model.add_bool_or(kept).only_enforce_if(self._awake)
                self._blocked.add(each)
