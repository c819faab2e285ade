"""One order for several cases: bought together, compared with buying apart, and who pays what.

Each case brings its plans, the best first. Plans within a stated tolerance of the best plan's own cost may be taken
where that makes the common purchase cheaper; a tolerance of 0 keeps to plans that cost as much as the best.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from solver.assess.assessment import Assessment
from solver.buying.allocate import Shared, allocate, paid
from solver.buying.alone import buy_alone
from solver.buying.buy import Purchase, buy
from solver.buying.market import Market
from solver.buying.need import Customer, Need
from solver.case.money import Cost

LEAST_S = 5.0
"""Seconds that an order apart may take; it takes a fraction of one."""

SHARE = 0.7
"""Share of the time that the common order may take; the rest is for the orders apart."""


@dataclass(frozen=True, slots=True)
class Payer:
    """One case: the plan taken (0 is its best), its share of the invoice, and what it would pay ordering apart."""

    name: str
    plan: int
    need: Need
    invoice: Cost
    alone: Cost

    @property
    def pays(self) -> Cost:
        """Minutes and reworks of the plan and the share of the invoice."""
        return self.need.own + self.invoice


@dataclass(frozen=True, slots=True)
class Order:
    """A common purchase. `taken` and `left` count pieces of each part out of stock and over from the packs."""

    purchase: Purchase
    market: Market
    shared: tuple[Shared, ...]
    payers: tuple[Payer, ...]
    taken: Mapping[str, int]
    left: Mapping[str, int]

    @property
    def invoice(self) -> Cost:
        """All goods and carriage."""
        return self.purchase.invoice(self.market)

    @property
    def total(self) -> Cost:
        """What all cases pay together."""
        return self.purchase.own + self.invoice

    @property
    def apart(self) -> Cost:
        """What they would pay if each ordered for itself."""
        return sum((payer.alone for payer in self.payers), Cost())


def within(plans: Sequence[Assessment], tolerance: Fraction) -> tuple[Assessment, ...]:
    """The plans whose cost is at most (1 + tolerance) of that of the first, at the high end."""
    return tuple(plan for plan in plans if plan.cost.high <= plans[0].cost.high * (1 + tolerance))


def order(
    customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int], time_limit_s: float = 30.0
) -> Order | None:
    """Buy for all together; None where the time ran out before anything was found. Raises `NoOffer`."""
    until = time.monotonic() + time_limit_s
    found = buy(customers, market, on_hand, SHARE * time_limit_s)
    alone = apart(customers, market, on_hand, until)
    if len(found.plans) < len(customers) or alone is None:
        return None
    needs = tuple(customer.needs[k] for customer, k in zip(customers, found.plans, strict=True))
    shared = allocate(found, needs, market)
    names = [customer.name for customer in customers]
    rows = zip(names, found.plans, needs, paid(shared, len(names)), alone, strict=True)
    payers = tuple(Payer(*row) for row in rows)
    taken, left = _pieces(found, on_hand)
    return Order(found, market, shared, payers, taken, left)


def apart(
    customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int], until: float
) -> tuple[Cost, ...] | None:
    """What each case pays with its best plan and an order of its own; stock goes to the first in the list.

    Every case gets `LEAST_S` even when the time is up: its order is small, and the common one is no answer without.
    """
    stock, costs = Counter(on_hand), []
    for customer in customers:
        found = buy_alone(customer.needs[0], market, stock, max(until - time.monotonic(), LEAST_S))
        if not found.plans:
            return None
        costs.append(found.own + found.invoice(market))
        stock.subtract(_pieces(found, stock)[0])
    return tuple(costs)


def _pieces(found: Purchase, on_hand: Mapping[str, int]) -> tuple[Mapping[str, int], Mapping[str, int]]:
    """Pieces of each part taken from stock, which goes before packs, and left over from packs."""
    used: Counter[str] = Counter()
    for (_, other), count in found.serves.items():
        used[other] += count
    taken = {part: min(count, on_hand.get(part, 0)) for part, count in used.items() if on_hand.get(part, 0)}
    bought: Counter[str] = Counter()
    for line in found.lines:
        bought[line.item.part] += line.packs * line.item.pieces
    left = {part: over for part, count in bought.items() if (over := count - used[part] + taken.get(part, 0))}
    return taken, left
