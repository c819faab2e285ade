"""The least-cost purchase by CP-SAT: packs for one plan a case, after stock, with carriage and price breaks.

Variables: a plan for each case, packs of each item in the tier of their number, and how many pieces of which part
serve for which. The high end of all money is made least first, then the low end, then oddities: plans other than the
best, substitutes, packs. Nothing is bought beyond what need, breaks and thresholds can make worth while, so the model
is finite and its optimum is that of the problem: one pack fewer would keep need, tier and thresholds, and cost no
more.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from solver import stoppable
from solver.buying.market import Item, Market
from solver.buying.need import Customer, Need
from solver.faults import InternalFault
from solver.master import Outcome
from solver.money import Cost


@dataclass(frozen=True, slots=True)
class Line:
    """So many packs of an item."""

    item: Item
    packs: int

    @property
    def cost(self) -> Cost:
        """Price of all its packs."""
        each = self.item.price(self.packs)
        return Cost(self.packs * each.low, self.packs * each.high)


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought. `plans`: index of the plan of each customer. `serves`: pieces of a part (first) met by another.

    `bound` is the least that the high end of the money that was minimised can be; equal to it where optimal.
    """

    outcome: Outcome
    plans: tuple[int, ...]
    lines: tuple[Line, ...]
    serves: Mapping[tuple[str, str], int]
    own: Cost
    bound: int

    def goods(self, house: str) -> Cost:
        """Goods on the invoice of a house."""
        return sum((line.cost for line in self.lines if line.item.house == house), Cost())

    def houses(self) -> tuple[str, ...]:
        """Who is bought from, in order of the lines."""
        return tuple(dict.fromkeys(line.item.house for line in self.lines))

    def invoice(self, market: Market) -> Cost:
        """Goods and carriage of every house."""
        goods = {house: self.goods(house) for house in self.houses()}
        return sum((cost + market.houses[house].carriage_of(cost) for house, cost in goods.items()), Cost())


class NoOffer(Exception):
    """A part or kit is needed that nobody sells and nothing on hand can serve for."""

    def __init__(self, part: str) -> None:
        super().__init__(part)
        self.part = part


def buy(
    customers: Sequence[Customer],
    market: Market,
    on_hand: Mapping[str, int],
    time_limit_s: float = 30.0,
) -> Purchase:
    """The least-cost purchase, proved unless time runs out; UNDECIDED (nothing bought) if none was found by then.

    INFEASIBLE only where something on hand serves a part, yet too little of it, and nobody sells more.

    `on_hand`: pieces of each part free to use, and kits that are there. Raises `NoOffer`.
    """
    _refuse_unsold(customers, market, on_hand)
    found = _Model(customers, market, on_hand).least(time.monotonic() + time_limit_s)
    if found.outcome is Outcome.OPTIMAL and found.bound != (found.own + found.invoice(market)).high:
        raise InternalFault(f"the purchase adds up to {(found.own + found.invoice(market)).high}, not {found.bound}")
    return found


def _refuse_unsold(customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int]) -> None:
    sold = {item.part for item in market.items} | {name for name, count in on_hand.items() if count}
    for need in (need for customer in customers for need in customer.needs):
        for part in (*need.parts, *sorted(need.kits)):
            if not sold & set(market.serving(part)):
                raise NoOffer(part)


class _Model:
    """One model for all stages; each stage keeps what the one before it reached."""

    def __init__(self, customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int]) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - slow to import; only where needed

        self._cp, self.model = cp_model, cp_model.CpModel()
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

    def least(self, until: float) -> Purchase:
        best, bound, outcome = None, 0, Outcome.UNDECIDED
        for stage, objective in enumerate((self.high, self.low, self._oddities())):
            solver, status = self._solve(objective, until)
            if status in (self._cp.OPTIMAL, self._cp.FEASIBLE):
                best = solver
            if stage == 0:
                bound = round(solver.best_objective_bound)
                outcome = self._outcome(status)
            if status != self._cp.OPTIMAL:
                break
            self.model.add(objective <= round(solver.objective_value))
        if best is None:
            return Purchase(outcome, (), (), {}, Cost(), max(bound, 0))
        return self._read(best, outcome, bound)

    def _solve(self, objective: Any, until: float) -> tuple[Any, Any]:
        self.model.minimize(objective)
        solver = self._cp.CpSolver()
        solver.parameters.num_workers = 1  # the same order every time
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        return solver, stoppable.solve(solver, self.model, until - time.monotonic())

    def _outcome(self, status: Any) -> Outcome:
        named = {
            self._cp.OPTIMAL: Outcome.OPTIMAL,
            self._cp.FEASIBLE: Outcome.FEASIBLE,
            self._cp.INFEASIBLE: Outcome.INFEASIBLE,
        }
        return named.get(status, Outcome.UNDECIDED)

    def _read(self, solver: Any, outcome: Outcome, bound: int) -> Purchase:
        plans = tuple(next(k for k, x in enumerate(flags) if solver.value(x)) for flags in self.picks)
        counts = [sum(solver.value(n) for n in tiers) for tiers in self.packs]
        lines = tuple(Line(item, n) for item, n in zip(self.market.items, counts, strict=True) if n)
        serves = {pair: count for pair, n in self.serves.items() if (count := solver.value(n))}
        own = sum((c.needs[k].own for c, k in zip(self.customers, plans, strict=True)), Cost())
        return Purchase(outcome, plans, lines, serves, own, bound)

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
        return max(-(-self.most[item.part] // item.pieces), item.tiers[-1].packs) + filling

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
            self.model.add(used <= self._there(other))
        for x, need in zip(flags, self.needs, strict=True):
            for kit in need.kits:
                self.model.add(self._there(kit) >= x)

    def _there(self, part: str) -> Any:
        bought = [
            n * i.pieces
            for i, tiers in zip(self.market.items, self.packs, strict=True)
            if i.part == part
            for n in tiers
        ]
        return sum(bought) + self.on_hand.get(part, 0)

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
        self.model.add_implication(free, used)
        self.model.add(goods >= free_from * free)
        return free

    def _oddities(self) -> Any:
        """Among equal costs: the best plan of each case, then the part itself, then few packs."""
        packs = sum(n for tiers in self.packs for n in tiers)
        others = sum(n for (part, other), n in self.serves.items() if part != other)
        ranks = sum(x * k for flags in self.picks for k, x in enumerate(flags))
        return ranks * 10**9 + others * 10**5 + packs
