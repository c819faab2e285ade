"""The cheapest mix when the sum of hold is all that must be kept: exact in a millisecond or two, a bound on others.

Movement, where hold sits, the ceiling of the hand and the cap are left aside; what they forbid can only cost more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from solver.case.rules import Covered, Held, LevelPull, Pulls, Rule, Unsplint
from solver.choose.knapsack import Group, Item, lightest
from solver.choose.millinewtons import at_least, force
from solver.choose.ranking import Ranking
from solver.mechanics.option import Option


@dataclass(frozen=True, slots=True)
class Cheapest:
    """No mix that keeps the rules weighs less than `least`; `picked` (indices in order) comes nearest to that."""

    least: int
    picked: tuple[int, ...]


class CheapestMix:
    """The options of a case, ready to be asked for the cheapest mix of some of them."""

    def __init__(self, options: Sequence[Option], ranking: Ranking) -> None:
        self._options, self._ranking = options, ranking
        self._on: dict[str, list[Item]] = {}
        self._off: dict[str, list[Item]] = {}
        for index, (option, weight) in enumerate(zip(options, ranking.options, strict=True)):
            side = self._off if option.candidate.takes_bar_off else self._on
            side.setdefault(option.site, []).append(Item(weight, _size(option.candidate.low_n), index))
        for here in (*self._on.values(), *self._off.values()):
            here.sort()

    def of(self, left_out: Collection[int], rules: Iterable[Rule]) -> Cheapest | None:
        """Without those left out; of the rules hold, covers and splinting count. None: none holds enough.

        No pull is taken by more than all retentions together, so what the pulls ask is a floor of that sum.
        """
        rules = tuple(rules)
        floors = [at_least(rule.least_n) for rule in rules if isinstance(rule, LevelPull | Pulls)]
        floor = max([*floors, *(1 for rule in rules if isinstance(rule, Held))], default=0)
        covered = {rule.site for rule in rules if isinstance(rule, Covered)}
        on, off = _without(left_out, self._on), _without(left_out, self._off)
        found = [self._on_bar(on, floor, covered)]
        if any(off.values()) and not any(isinstance(rule, Unsplint) for rule in rules):
            found.append(self._bar_off(off, floor))
        return min((each for each in found if each), key=lambda each: each.least, default=None)

    def _on_bar(self, at: Mapping[str, list[Item]], floor: int, covered: Collection[str]) -> Cheapest | None:
        sites = dict.fromkeys([*sorted(covered), *at])
        found = lightest([Group(at.get(site, ()), site in covered) for site in sites], floor)
        return self._paid(at, found.weight, found.taken) if found else None

    def _bar_off(self, at: Mapping[str, list[Item]], floor: int) -> Cheapest | None:
        """Without the bar something stands on a support."""
        found = lightest([Group(here) for here in at.values()], floor)
        if found and not found.taken:
            one = min(chain(*at.values()))
            return self._paid(at, one.weight, (one.name,))
        return self._paid(at, found.weight, found.taken) if found else None

    def _paid(self, at: Mapping[str, list[Item]], weight: int, taken: tuple[int, ...]) -> Cheapest:
        """With what counts once and any mix of these items calls for."""
        always = set(self._ranking.once if taken else ())
        for item in chain(*at.values()):
            if not always:  # mostly soon
                break
            always.intersection_update(self._ranking.called_for(self._options[item.name].candidate))
        return Cheapest(weight + sum(self._ranking.once[name] for name in always), tuple(sorted(taken)))


def _size(low_n: float) -> int:
    """In millinewtons; what holds at all is no nothing, however little it is."""
    return force(low_n) or int(low_n > 0)


def _without(left_out: Collection[int], at: Mapping[str, list[Item]]) -> dict[str, list[Item]]:
    return {site: [item for item in here if item.name not in left_out] for site, here in at.items()}
