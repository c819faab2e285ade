"""One search over many changes of a case: which of them, each alone, bring a mix that is better than the plan?

The options of all changes stand in one master and exactly one change is on: its fresh options may be used, what is
gone by it may not. What a mix weighs, less what the plan weighs under the change that is on, is made least. While
that is below nought, the changes under which the mix beats the plan are told and left out; when it no longer is, the
plan stands under each of those that are left.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from solver.assessment import Status
from solver.candidate import Candidate
from solver.choose import Search
from solver.fit import Fit
from solver.master import Master, Outcome, bound
from solver.mechanics import Mechanics
from solver.option import Option
from solver.problem import Problem
from solver.prune import undominated
from solver.ranking import best_first
from solver.rules import Preference, waivable
from solver.stand import Incumbent, Undecided
from solver.weak_change import Change


@dataclass(frozen=True, slots=True)
class _Rival:
    """A change with its options in the master, and what a mix must weigh less than to beat the plan under it."""

    change: Change
    fresh: frozenset[int]
    gone: frozenset[int]
    to_beat: int


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
        self.master.prefer(())
        self._search = Search(problem, mechanics, self.master, incumbent.how, incumbent.until)
        self._ranking = best_first(problem, options, incumbent.least)
        self._most = 1 + self._heaviest()
        self._given_up = self.master.given_up if soft else 0
        self._index = {option.candidate.key: index for index, option in enumerate(options)}
        self._brought = frozenset(self._index[key] for key in owned if key in self._index)
        self._rivals = [self._rival(incumbent, change, keys) for change, keys in zip(changes, brought, strict=True)]
        self._left = dict(enumerate(self._rivals))
        self._terms = self._penalties()
        self._switches = self._switched()
        self.lead = self._lead()

    def beaten(self) -> list[Change]:
        """The changes under which the best mix beats the plan, left out from then on; empty where there are no more.

        Raises `Undecided` where the time runs out.
        """
        if not self._left:
            return []
        found = self._search.settle(self.lead)
        if found.outcome is Outcome.UNDECIDED:
            raise Undecided
        if found.outcome is Outcome.INFEASIBLE:
            return []
        weight = self._weight(found.picked) + self.master.weight_given_up(found) * self._most
        weight += sum(self._terms[rule] for rule in self._search.mix_of(found).unpreferred)
        beaten = [number for number, rival in self._left.items() if self._beats(found.picked, weight, rival)]
        for number in beaten:
            bound(self._switches[number], 0, 0)
        return [self._left.pop(number).change for number in beaten]

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

    def _lead(self) -> Any:
        """By how much a mix is above the plan under the change that is on."""
        weight = self.master.weight(self._ranking) + self._given_up * self._most
        weight += sum(self.master.unpreferred[rule] * more for rule, more in self._terms.items())
        return weight - sum(on * rival.to_beat for rival, on in zip(self._rivals, self._switches, strict=True))

    def _penalties(self) -> dict[Preference, int]:
        """What a mix must weigh less, at the least under any change, for going without each preference.

        Less than it really must: a change that is told for nothing is looked at again, one that is missed is not.
        """
        least = min((rival.to_beat % self._most for rival in self._rivals), default=0)
        rules = self.master.problem.preferences
        found = {}
        for rule in rules:
            share = Fraction(str(rule.saves))
            for other in rules:
                share *= 1 if other is rule else 1 - Fraction(str(other.saves))
            found[rule] = int(share * least)
        return found

    def _beats(self, picked: Sequence[int], weight: int, rival: _Rival) -> bool:
        """True where the mix can be had under a change and weighs less than the plan does then."""
        mix = frozenset(picked)
        return weight < rival.to_beat and not mix & rival.gone and mix & self._brought <= rival.fresh

    def _rival(self, incumbent: Incumbent, change: Change, keys: dict[str, str]) -> _Rival:
        """The order of its options is left out of what the plan weighs, so that no equal of it weighs less."""
        fresh = frozenset(self._index[key] for key in keys.values() if key in self._index)
        gone = frozenset(self._index[key] for key in change.gone if key in self._index)
        if incumbent.keys is None or incumbent.rank is None:
            return _Rival(change, fresh, gone, (1 + self.master.most_given_up) * self._most)
        weight = self._weight([self._index[keys.get(key, key)] for key in incumbent.keys])
        for rule in incumbent.unpreferred:
            weight = int(weight / (1 - Fraction(str(rule.saves))))
        in_order = weight % self._ranking.order
        return _Rival(change, fresh, gone, weight - in_order + incumbent.rank[0] * self._most)

    def _weight(self, picked: Sequence[int]) -> int:
        return self._ranking.of((index, self.master.options[index].candidate) for index in picked)

    def _heaviest(self) -> int:
        """No mix weighs more."""
        weights = self._ranking.options
        per_site = (max((weights[index] for index in here), default=0) for here in self.master.at.values())
        return sum(per_site) + sum(self._ranking.once.values())


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
            named = candidate.attachment.model_copy(update={"id": f"{candidate.attachment.id}~{number}"})
            other = replace(candidate, attachment=named)
            added.setdefault(option.site, []).append(other)
            keys[candidate.key] = other.key
        renamed.append(keys)
    sites = (replace(found, usable=(*found.usable, *added.get(found.site.id, ()))) for found in problem.fit.sites)
    return replace(problem, fit=Fit(tuple(sites))), renamed
