"""The cheapest mix when hold is all that must be kept: exact in a millisecond or two, and a bound on every other.

Movement, pulls, the ceiling of the hold and the cap are left aside; what they forbid can only cost more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from solver.knapsack import Group, Item, lightest
from solver.newtons import at_least, force
from solver.problem import Option
from solver.ranking import Ranking
from solver.rules import Covered, HoldFloor, Rule, Unsplint


@dataclass(frozen=True, slots=True)
class Cheapest:
    """No mix that keeps the rules weighs less than `least`; `picked` (indices in order) comes nearest to that."""

    least: int
    picked: tuple[int, ...]


class CheapestMix:
    """The options of a case, ready to be asked for the cheapest mix of some of them."""

    def __init__(self, options: Sequence[Option], ranking: Ranking) -> None:
        self._options, self._ranking = options, ranking
        items = [
            Item(w, force(o.candidate.low_n), i)
            for i, (o, w) in enumerate(zip(options, ranking.options, strict=True))
        ]
        self._sides = [
            [item for item in items if options[item.name].candidate.takes_bar_off is off] for off in (False, True)
        ]

    def of(self, left_out: Collection[int], rules: Iterable[Rule]) -> Cheapest | None:
        """Without those left out; of the rules hold, covers and splinting count. None: none holds enough."""
        rules = tuple(rules)
        floor = max((at_least(rule.least_n) for rule in rules if isinstance(rule, HoldFloor)), default=0)
        covered = {rule.site for rule in rules if isinstance(rule, Covered)}
        on, off = ([item for item in side if item.name not in left_out] for side in self._sides)
        found = [self._on_bar(on, floor, covered)]
        if off and not any(isinstance(rule, Unsplint) for rule in rules):
            found.append(self._bar_off(off, floor))
        return min((each for each in found if each), key=lambda each: each.least, default=None)

    def _on_bar(self, items: Sequence[Item], floor: int, covered: Collection[str]) -> Cheapest | None:
        at: dict[str, list[Item]] = {site: [] for site in sorted(covered)} | self._by_site(items)
        found = lightest([Group(here, site in covered) for site, here in at.items()], floor)
        return self._paid(items, found.weight, found.taken) if found else None

    def _bar_off(self, items: Sequence[Item], floor: int) -> Cheapest | None:
        """Without the bar something stands on a support."""
        found = lightest([Group(here) for here in self._by_site(items).values()], floor)
        if found and not found.taken:
            one = min(items)
            return self._paid(items, one.weight, (one.name,))
        return self._paid(items, found.weight, found.taken) if found else None

    def _by_site(self, items: Iterable[Item]) -> dict[str, list[Item]]:
        at: dict[str, list[Item]] = {}
        for item in items:
            at.setdefault(self._options[item.name].site, []).append(item)
        return at

    def _paid(self, items: Iterable[Item], weight: int, taken: tuple[int, ...]) -> Cheapest:
        """With the charges that any mix of these items pays."""
        charges = [set(self._options[item.name].candidate.charges) for item in items] if taken else []
        always = set.intersection(*charges) if charges else set()
        return Cheapest(weight + sum(self._ranking.charges[name] for name in always), tuple(sorted(taken)))
