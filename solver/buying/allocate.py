"""Who pays what of a common invoice: every line by use, carriage by goods, to the last minor unit.

A line is paid by the cases in proportion to the pieces that they need of it, whole packs with what is left over. It
does not matter whether a case's own pieces come from stock or from the pack: all who use the part pay for it alike. A
kit is paid by the cases that use it, in equal shares; what nobody uses (bought for a threshold) as carriage is.
Shares are rounded by largest remainders, so they sum to the invoice exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from solver.buying.buy import Line, Purchase
from solver.buying.market import Market
from solver.buying.need import Need
from solver.buying.share import share_cost
from solver.case.money import Cost


@dataclass(frozen=True, slots=True)
class Shared:
    """One thing on an invoice and what each case pays of it."""

    house: str
    line: Line | None  # None for carriage
    cost: Cost
    shares: tuple[Cost, ...]


def allocate(purchase: Purchase, needs: Sequence[Need], market: Market) -> tuple[Shared, ...]:
    """Every line, then the carriage, of every house; `needs` are those of the chosen plans, a case each."""
    return tuple(shared for house in purchase.houses() for shared in _of_house(house, purchase, needs, market))


def paid(shared: Sequence[Shared], customers: int) -> tuple[Cost, ...]:
    """What each case pays in all."""
    return tuple(sum((entry.shares[i] for entry in shared), Cost()) for i in range(customers))


def _of_house(house: str, purchase: Purchase, needs: Sequence[Need], market: Market) -> list[Shared]:
    lines = [line for line in purchase.lines if line.item.house == house]
    weights = {line: _uses(line.item.part, purchase.serves, needs) for line in lines}
    used = [
        Shared(house, line, line.cost, share_cost(line.cost, weights[line])) for line in lines if any(weights[line])
    ]
    by_goods = [sum(entry.shares[i].high for entry in used) for i in range(len(needs))]
    unused = [
        Shared(house, line, line.cost, share_cost(line.cost, by_goods)) for line in lines if not any(weights[line])
    ]
    carriage = market.houses[house].carriage_of(purchase.goods(house))
    paid_apart = [Shared(house, None, carriage, share_cost(carriage, by_goods))] if carriage != Cost() else []
    return [*used, *unused, *paid_apart]


def _uses(name: str, serves: Mapping[tuple[str, str], int], needs: Sequence[Need]) -> list[Fraction]:
    """Pieces that each case uses of a part, as a substitute too; for a kit 1 for each case that uses it."""
    uses = [Fraction(name in need.kits) for need in needs]
    for (part, other), count in serves.items():
        if other == name:
            total = sum(need.parts.get(part, 0) for need in needs)
            for i, need in enumerate(needs):
                uses[i] += Fraction(count * need.parts.get(part, 0), total)
    return uses
