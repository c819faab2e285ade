"""`python -m tests.benchmarks.order [SECONDS [CASES...]]`: the joint order up to 500 cases, 60 parts, 4 suppliers.

Everything is invented and drawn from a seed: cases with up to eight plans within 5 % of the best, each of one to four
parts; suppliers that sell nearly every part in up to three packs with breaks, carriage and thresholds; kits; parts
that another of like price may serve for; some stock.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

from solver.buying.buy import buy
from solver.buying.common_order import apart
from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.case.money import Cost

KITS = ("kit-a", "kit-b", "kit-c")


class Bench(NamedTuple):
    """Who buys, what is on offer, what is on hand."""

    customers: tuple[Customer, ...]
    market: Market
    on_hand: dict[str, int]


def bench(cases: int, parts: int = 60, suppliers: int = 4, seed: int = 1) -> Bench:
    """A random bench of that size."""
    dice = random.Random(seed)
    names = [f"part-{i:02}" for i in range(parts)]
    worth = {name: dice.randint(8_00, 90_00) for name in names}
    alike = sorted(names, key=worth.__getitem__)
    pairs = dice.sample(list(pairwise(alike)), parts // 6)
    instead = {part: (part, other) for part, other in pairs}
    houses = {f"house-{i}": _house(dice, f"house-{i}") for i in range(suppliers)}
    items = [item for house in houses for item in _offers(dice, house, worth)]
    offered = {item.part for item in items}
    items += [Item("house-0", name, 1, (Tier(1, _band(dice, worth[name])),)) for name in names if name not in offered]
    items += [Item(dice.choice(list(houses)), kit, 1, (Tier(1, Cost(180_00, 260_00)),)) for kit in KITS]
    stock = {name: dice.randint(1, 6) for name in dice.sample(names, parts // 5)}
    customers = tuple(_customer(dice, f"case-{i:03}", worth) for i in range(cases))
    return Bench(customers, Market(houses, tuple(items), instead), stock)


def _house(dice: random.Random, name: str) -> House:
    free = dice.choice([None, 300_00, 500_00, 1000_00])
    return House(name, name, dice.randint(4_00, 15_00), free, dice.choice([0, 0, 50_00, 100_00]))


def _offers(dice: random.Random, house: str, worth: dict[str, int]) -> list[Item]:
    """Nine parts in ten, in one to three packs; the larger the pack, the cheaper the piece."""
    items = []
    for name, price in worth.items():
        if dice.random() < 0.1:
            continue
        piece = price * dice.uniform(0.85, 1.15)
        for pieces in sorted(dice.sample([1, 2, 4, 5, 10, 20], dice.randint(1, 3))):
            each = _band(dice, piece * pieces ** dice.uniform(0.88, 0.98))
            tiers = [Tier(dice.choice([1, 1, 1, 2]), each)]
            if dice.random() < 0.4:
                less = dice.uniform(0.88, 0.97)
                tiers.append(
                    Tier(tiers[0].packs + dice.randint(2, 8), Cost(int(each.low * less), int(each.high * less)))
                )
            items.append(Item(house, name, pieces, tuple(tiers)))
    return items


def _band(dice: random.Random, price: float) -> Cost:
    return Cost(round(price * dice.uniform(0.9, 1.0)), round(price * dice.uniform(1.0, 1.15)))


def _customer(dice: random.Random, name: str, worth: dict[str, int]) -> Customer:
    """The plans cost nearly the same at list prices; what is no part is minutes."""
    target, plans = dice.randint(250_00, 500_00), []
    for _ in range(dice.randint(1, 8)):
        parts = {part: dice.randint(1, 3) for part in dice.sample(list(worth), dice.randint(1, 4))}
        goods = sum(worth[part] * count for part, count in parts.items())
        own = max(round(target * dice.uniform(1.0, 1.05)) - goods, 20_00)
        kits = frozenset(kit for kit in KITS if dice.random() < 0.2)
        plans.append(Need(parts, kits, Cost(round(own * 0.8), own)))
    return Customer(name, tuple(sorted(plans, key=lambda need: _at_list_prices(need, worth))))


def _at_list_prices(need: Need, worth: dict[str, int]) -> int:
    return need.own.high + sum(worth[part] * count for part, count in need.parts.items())


def row(cases: int, time_limit_s: float, seed: int = 1) -> str:
    """One line of the table."""
    customers, market, on_hand = bench(cases, seed=seed)
    start = time.perf_counter()
    found = buy(customers, market, on_hand, time_limit_s)
    took = time.perf_counter() - start
    total = (found.own + found.invoice(market)).high if found.plans else 0
    gap = (total - found.bound) / total if total else float("nan")
    start = time.perf_counter()
    alone = apart(customers, market, on_hand, time.monotonic() + 600)
    took_apart = time.perf_counter() - start
    dear = sum(cost.high for cost in alone) if alone else 0
    return (
        f"{cases:5}  {seed:4}  {took:9.1f}  {found.outcome.value:10}  {total / 100:12.2f}  {gap:9.4%}"
        f"  {dear / 100:12.2f}  {took_apart:8.1f}"
    )


def growth(time_limit_s: float = 120.0, sizes: Iterable[int] = (20, 100, 500)) -> None:
    """Print a table: the common order, how far it is proved, and the orders apart, each with its time."""
    print("cases  seed  seconds    proof         high total        gap   total apart  apart, s")
    for cases in sizes:
        print(row(cases, time_limit_s), flush=True)


if __name__ == "__main__":
    growth(float(sys.argv[1]) if sys.argv[1:] else 120.0, [int(n) for n in sys.argv[2:]] or (20, 100, 500))
