"""The purchase as a CP-SAT model: plans, packs and what serves for what, with every rule that an order must keep.

Variables: a plan for each case, packs of each item in the tier of their number, and how many pieces of which part
serve for which. Nothing is bought beyond what need, breaks and thresholds can make worth while, so the model is
finite and its optimum is that of the problem: one pack fewer would keep need, tier and thresholds, and cost no more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from solver.buying.market import Item, Market
from solver.buying.need import Customer, Need


class OrderModel:
    """The variables by what they mean, and the three sums to be made least: `high`, `low`, `oddities`."""

    def __init__(self, customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int]) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - slow to import; only where needed

        self.model = cp_model.CpModel()
        self.customers, self.market, self.on_hand = customers, market, on_hand
        self.needs: list[Need] = [need for customer in customers for need in customer.needs]
        self.picks: list[list[Any]] = [[self._flag() for _ in customer.needs] for customer in customers]
        for flags in self.picks:
            self.model.add_exactly_one(flags)
        self.most = self._most_pieces()
        self.packs: list[list[Any]] = [self._tiered(item) for item in market.items]
        self.serves = self._serving()
        self._cover()
        self.high, self.low = self._money()

    @property
    def oddities(self) -> Any:
        """Among equal costs: the best plan of each case, then the part itself, then few packs."""
        packs = sum(n for tiers in self.packs for n in tiers)
        others = sum(n for (part, other), n in self.serves.items() if part != other)
        ranks = sum(x * k for flags in self.picks for k, x in enumerate(flags))
        return ranks * 10**9 + others * 10**5 + packs

    def _flag(self) -> Any:
        return self.model.new_bool_var("")

    def _most_pieces(self) -> Mapping[str, int]:
        """For each part or kit the most pieces that any choice of plans could use of it."""
        most: Counter[str] = Counter()
        for customer in self.customers:
            for part in {part for need in customer.needs for part in need.parts}:
                count = max(need.parts.get(part, 0) for need in customer.needs)
                for other in self.market.serving(part):
                    most[other] += count
        for need in self.needs:
            most.update({kit: 1 for kit in need.kits if not most[kit]})
        return most

    def _most_packs(self, item: Item) -> int:
        house = self.market.houses[item.house]
        least_price = min(tier.price.low for tier in item.tiers)
        threshold = max(house.minimum, house.free_from or 0)
        filling = -(-threshold // least_price) if least_price else 0
        return max(-(-self.most[item.part] // item.pieces), item.tiers[-1].packs, filling + 1)

    def _tiered(self, item: Item) -> list[Any]:
        """Packs bought in each tier; at most one tier is entered, and only with a number that belongs to it."""
        ends = [tier.packs - 1 for tier in item.tiers[1:]] + [self._most_packs(item)]
        packs, entered = [], []
        for tier, end in zip(item.tiers, ends, strict=True):
            number, flag = self.model.new_int_var(0, end, ""), self._flag()
            self.model.add(number >= tier.packs * flag)
            self.model.add(number <= end * flag)
            packs.append(number)
            entered.append(flag)
        self.model.add_at_most_one(entered)
        return packs

    def _serving(self) -> Mapping[tuple[str, str], Any]:
        parts = dict.fromkeys(part for need in self.needs for part in need.parts)
        return {
            (part, other): self.model.new_int_var(0, self.most[part], "")
            for part in parts
            for other in self.market.serving(part)
        }

    def _cover(self) -> None:
        """Every piece of the chosen plans is served, from stock or packs; a kit is there once for all."""
        flags = [x for picks in self.picks for x in picks]
        for part in dict.fromkeys(part for part, _ in self.serves):
            needed = sum(x * need.parts.get(part, 0) for x, need in zip(flags, self.needs, strict=True))
            self.model.add(sum(n for (p, _), n in self.serves.items() if p == part) == needed)
        for other in dict.fromkeys(other for _, other in self.serves):
            used = sum(n for (_, o), n in self.serves.items() if o == other)
            self.model.add(used <= self._there(other, self.most[other]))
        for x, need in zip(flags, self.needs, strict=True):
            for kit in need.kits:
                self.model.add(self._there(kit) >= x)

    def _there(self, part: str, most: int = 1) -> Any:
        """Pieces bought and on hand, of a pack no more than could be used: the relaxation is closer for it."""
        return self._bought(part, max(most - self.on_hand.get(part, 0), 1)) + self.on_hand.get(part, 0)

    def _bought(self, part: str, most: int) -> Any:
        pairs = zip(self.market.items, self.packs, strict=True)
        return sum(n * min(item.pieces, most) for item, tiers in pairs if item.part == part for n in tiers)

    def _money(self) -> tuple[Any, Any]:
        """Both ends of everything that is paid: minutes and reworks of the plans, goods, carriage."""
        flags = [x for picks in self.picks for x in picks]
        high = sum(x * need.own.high for x, need in zip(flags, self.needs, strict=True))
        low = sum(x * need.own.low for x, need in zip(flags, self.needs, strict=True))
        for house in self.market.houses.values():
            mine = [(i, n) for i, n in zip(self.market.items, self.packs, strict=True) if i.house == house.id]
            goods_low = sum(n * t.price.low for i, tiers in mine for t, n in zip(i.tiers, tiers, strict=True))
            goods_high = sum(n * t.price.high for i, tiers in mine for t, n in zip(i.tiers, tiers, strict=True))
            used = self._flag()
            for item, tiers in mine:
                self.model.add(sum(tiers) <= self._most_packs(item) * used)
            self.model.add(goods_low >= house.minimum * used)
            high += goods_high + house.carriage * (used - self._free(used, goods_low, house.free_from))
            low += goods_low + house.carriage * (used - self._free(used, goods_high, house.free_from))
        return high, low

    def _free(self, used: Any, goods: Any, free_from: int | None) -> Any:
        """1 only where goods are ordered and reach the threshold."""
        if free_from is None:
            return 0
        free = self._flag()
        self.model.add(free <= used)
        self.model.add(goods >= free_from * free)
        return free
