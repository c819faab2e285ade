"""One search over many changes of a case: which of them, each alone, bring a mix that is better than the plan?

The options of all changes stand in one master and exactly one change is on: its fresh options may be used, what is
gone by it may not. What a mix weighs, less what the plan weighs under the change that is on, is made least. While
that is below nought, the changes under which the mix beats the plan are told and left out; when it no longer is, the
plan stands under each of those that are left.

What a mix goes without raises its cost by a share (see `terms_weight`), which is no sum: the search is made once for
every set of preferences that a mix may go without, with that share turned against what is to be beaten.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Any

from solver.assess.assessment import Status
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Alike, Preference, WholeBar, waivable
from solver.choose.dominance import undominated
from solver.choose.master import Master, Outcome, Solved, bound
from solver.choose.ranking import best_first
from solver.choose.search import Search
from solver.choose.terms import subsets, terms_factor, terms_order
from solver.explore.figure_changes import Change
from solver.explore.incumbent import Incumbent, Undecided
from solver.fit.bench import Fit
from solver.fit.candidate import Candidate
from solver.mechanics.option import Option


@dataclass(frozen=True, slots=True)
class _Rival:
    """A change with its options in the master, and what the plan weighs under it; None where there is no plan."""

    change: Change
    fresh: frozenset[int]
    gone: frozenset[int]
    weight: int | None


def hunted(incumbent: Incumbent, changes: Sequence[Change]) -> Iterator[Change]:
    """The changes that bring a better mix; raises `Undecided` where the time runs out.

    Where no option of the plan is gone by a change, what is gone is not left out either, so that one may be told that
    brings none. No change may touch the rules, and under each the plan gives up what it gives up as things are.
    """
    hunt = Hunt(incumbent, changes)
    while beaten := hunt.beaten():
        yield from beaten


class Hunt:
    """The changes that are not decided yet, in one master, and what everything in it weighs."""

    def __init__(self, incumbent: Incumbent, changes: Sequence[Change]) -> None:
        problem, brought = _together(incumbent.problem, changes)
        owned = {key for keys in brought for key in keys.values()}
        relaxed = incumbent.status in (Status.RELAXED, Status.NONE)
        options = [option for option in problem.options if relaxed or not option.needs_waived]
        mechanics = incumbent.mechanics.beside(problem)
        if incumbent.least == "now":  # an option that replaces another may still wear sooner
            gone = {key for change in changes for key in change.gone}
            options = _pruned(problem, mechanics, options, gone | owned | set(incumbent.keys or ()))
        rules = (*problem.rules, *(problem.stopgap if relaxed else ()))
        soft = dict.fromkeys(rule for rule in rules if relaxed and waivable(rule))
        soft.update(dict.fromkeys(rule for option in options for rule in option.needs_waived))
        self.master = Master(problem, options, mechanics, tuple(soft), rules=rules, weighing=True)
        self._search = Search(problem, mechanics, self.master, incumbent.how, incumbent.until)
        self._ranking = best_first(problem, options, incumbent.least)
        self._most = 1 + self._heaviest()
        self._given_up = self.master.given_up if soft else 0
        self._index = {option.candidate.key: index for index, option in enumerate(options)}
        self._brought = frozenset(self._index[key] for key in owned if key in self._index)
        self._rivals = [self._rival(incumbent, change, keys) for change, keys in zip(changes, brought, strict=True)]
        self._left = dict(enumerate(self._rivals))
        self._planned = incumbent.rank[0] if incumbent.rank else 0
        self._without = incumbent.unpreferred
        self._paid_alike = problem.recalls.high if incumbent.least == "years" else 0
        self._terms = list(subsets(_breakable(problem, options)))
        self._switches = self._switched()

    @property
    def terms(self) -> tuple[Preference, ...]:
        """The preferences that a mix may go without in the search that is on."""
        return self._terms[0]

    def beaten(self) -> list[Change]:
        """The changes under which the best mix beats the plan, left out from then on; empty where there are no more.

        Raises `Undecided` where the time runs out.
        """
        while self._left and self._terms:
            self.master.prefer([rule for rule in self.master.unpreferred if rule not in self.terms])
            found = self._search.settle(self.lead(self.terms))
            if found.outcome is Outcome.UNDECIDED:
                raise Undecided
            beaten = [] if found.outcome is Outcome.INFEASIBLE else self._beaten(found)
            if beaten:
                return [self._left.pop(number).change for number in beaten]
            del self._terms[0]
        return []

    def _beaten(self, found: Solved) -> list[int]:
        weight = self._weight(found.picked) + self.master.weight_given_up(found) * self._most
        beaten = [number for number, rival in self._left.items() if self._beats(found.picked, weight, rival)]
        for number in beaten:
            bound(self._switches[number], 0, 0)
        return beaten

    def _switched(self) -> list[Any]:
        """A literal for each change; exactly one is on."""
        model, pick = self.master.model, self.master.pick
        switches = [model.new_bool_var(str(number)) for number in range(len(self._rivals))]
        model.add_exactly_one(switches)
        for rival, on in zip(self._rivals, switches, strict=True):
            for index in rival.fresh:
                model.add_implication(pick[index], on)
            for index in rival.gone:
                model.add_implication(pick[index], on.negated())
        return switches

    def lead(self, terms: Collection[Preference]) -> Any:
        """By how much a mix that may go without these is above what it must weigh less than, for the change on."""
        weight = self.master.weight(self._ranking) + self._given_up * self._most
        return weight - sum(
            on * self._to_beat(rival, terms) for rival, on in zip(self._rivals, self._switches, strict=True)
        )

    def _to_beat(self, rival: _Rival, terms: Collection[Preference]) -> int:
        """What a mix must weigh less than to beat the plan: never more than giving up one thing more would weigh."""
        if rival.weight is None:
            return (1 + self.master.most_given_up) * self._most
        problem, cent = self.master.problem, self._ranking.cent
        ours, theirs = terms_order(problem, self._without), terms_order(problem, terms)
        to_beat = rival.weight
        if ours != theirs:
            cost = Fraction(rival.weight // cent + self._paid_alike) * terms_factor(self._without)
            equal = cost / terms_factor(terms) - self._paid_alike
            to_beat = cent * (floor(equal) + 1 if theirs < ours else ceil(equal))
        return min(max(to_beat, 0), self._most) + self._planned * self._most

    def _beats(self, picked: Sequence[int], weight: int, rival: _Rival) -> bool:
        """True where the mix can be had under a change and weighs less than the plan does then."""
        mix = frozenset(picked)
        at_hand = not mix & rival.gone and mix & self._brought <= rival.fresh
        return at_hand and weight < self._to_beat(rival, self.terms)

    def _rival(self, incumbent: Incumbent, change: Change, keys: dict[str, str]) -> _Rival:
        """The order of its options is left out of what the plan weighs, so that no equal of it weighs less."""
        fresh = frozenset(self._index[key] for key in keys.values() if key in self._index)
        gone = frozenset(self._index[key] for key in change.gone if key in self._index)
        if incumbent.keys is None or incumbent.rank is None:
            return _Rival(change, fresh, gone, None)
        weight = self._weight([self._index[keys.get(key, key)] for key in incumbent.keys])
        return _Rival(change, fresh, gone, weight - weight % self._ranking.order)

    def _weight(self, picked: Sequence[int]) -> int:
        return self._ranking.of((index, self.master.options[index].candidate) for index in picked)

    def _heaviest(self) -> int:
        """No mix weighs more."""
        weights = self._ranking.options
        per_site = (max((weights[index] for index in here), default=0) for here in self.master.at.values())
        return sum(per_site) + sum(self._ranking.once.values())


def _breakable(problem: Problem, options: Sequence[Option]) -> list[Preference]:
    """The preferences that some mix of these options may go without."""
    cuts = any(option.candidate.harms_bar for option in options)
    never = {WholeBar: not cuts, Alike: not problem.mirrors}
    return [rule for rule in problem.preferences if not never.get(type(rule))]


def _pruned(
    problem: Problem, mechanics: Mechanics, options: Sequence[Option], fixed: Collection[str]
) -> list[Option]:
    """Without those that another replaces; what is `fixed` neither goes nor replaces."""
    lasting = [option for option in options if option.candidate.key not in fixed]
    stays = {id(option) for option in undominated(problem, mechanics, lasting)}
    return [option for option in options if option.candidate.key in fixed or id(option) in stays]


def _together(problem: Problem, changes: Sequence[Change]) -> tuple[Problem, list[dict[str, str]]]:
    """The case with the fresh options of all changes besides its own; for each change their keys, new by old."""
    added: dict[str, list[Candidate]] = {}
    renamed: list[dict[str, str]] = []
    for number, change in enumerate(changes):
        keys: dict[str, str] = {}
        for option in change.fresh:
            candidate = option.candidate
            other = replace(candidate, variant=f"~{number}")
            added.setdefault(option.site, []).append(other)
            keys[candidate.key] = other.key
        renamed.append(keys)
    sites = (replace(found, usable=(*found.usable, *added.get(found.site.id, ()))) for found in problem.fit.sites)
    return replace(problem, fit=Fit(tuple(sites))), renamed
