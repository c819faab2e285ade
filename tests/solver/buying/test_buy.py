"""The least purchase, against enumeration that shares no code with the model."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.buying.buy import NoOffer, buy
from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.case.money import Cost
from solver.choose.master import Outcome
from tests.solver.buying.worlds import markets, on_hand


def one(parts: Mapping[str, int], *kits: str) -> Customer:
    return Customer("c", (Need(parts, frozenset(kits)),))


def item(pieces: int, *prices: int, house: str = "h", part: str = "p", packs: tuple[int, ...] = (1,)) -> Item:
    return Item(house, part, pieces, tuple(Tier(n, Cost(p, p)) for n, p in zip(packs, prices, strict=True)))


def bought(demand: Customer, *items: Item, stock: Mapping[str, int] | None = None, **house: int) -> dict[int, int]:
    """Packs bought of each size from one house."""
    market = Market({"h": House("h", "h", **house)}, items, {})
    return {line.item.pieces: line.packs for line in buy([demand], market, stock or {}).lines}


SMALL = {
    "a break makes more cheaper": ({2: 3}, one({"p": 4}), (item(2, 30, 15, packs=(1, 3)),), {}, {}),
    "stock goes first": ({1: 2}, one({"p": 5}), (item(1, 10),), {"p": 3}, {}),
    "enough in stock": ({}, one({"p": 3}), (item(1, 10),), {"p": 3}, {}),
    "free carriage is worth a pack": ({1: 4}, one({"p": 3}), (item(1, 10),), {}, {"carriage": 20, "free_from": 40}),
    "free carriage too far": ({1: 3}, one({"p": 3}), (item(1, 10),), {}, {"carriage": 20, "free_from": 60}),
    "least order is filled": ({1: 5}, one({"p": 1}), (item(1, 10),), {}, {"minimum": 50}),
    "fewest packs sold": ({1: 3}, one({"p": 1}), (item(1, 10, packs=(3,)),), {}, {}),
}  # fmt: skip


@pytest.mark.parametrize(("packs", "demand", "items", "stock", "house"), SMALL.values(), ids=SMALL)
def test_small_orders(
    packs: dict[int, int], demand: Customer, items: tuple[Item, ...], stock: dict[str, int], house: dict[str, int]
) -> None:
    assert packs == bought(demand, *items, stock=stock, **house)


def test_a_kit_is_bought_once_for_all() -> None:
    market = Market({"h": House("h", "h")}, (item(1, 50, part="k"), item(1, 1)), {})
    found = buy([one({"p": 1}, "k"), one({"p": 2}, "k")], market, {})

    assert [("k", 1), ("p", 3)] == [(line.item.part, line.packs) for line in found.lines]


def test_a_kit_on_hand_is_not_bought() -> None:
    market = Market({"h": House("h", "h")}, (item(1, 50, part="k"), item(1, 1)), {})

    assert ["p"] == [line.item.part for line in buy([one({"p": 1}, "k")], market, {"k": 1}).lines]


def test_a_substitute_only_where_it_is_cheaper() -> None:
    items = (item(1, 10), item(1, 10, part="s"), item(4, 12, part="s"))
    market = Market({"h": House("h", "h")}, items, {"p": ("p", "s")})

    assert {("p", "p"): 1} == buy([one({"p": 1})], market, {}).serves
    assert {("p", "s"): 3} == buy([one({"p": 3})], market, {}).serves


def test_another_plan_where_it_makes_the_purchase_cheaper() -> None:
    """Two cases with packs of four `p`: one takes its second plan so that both live on one pack."""
    market = Market({"h": House("h", "h")}, (item(4, 40), item(1, 30, part="q")), {})
    fixed, free = Customer("a", (Need({"p": 2}),)), Customer("b", (Need({"q": 1}), Need({"p": 2}, own=Cost(5, 5))))
    found = buy([fixed, free], market, {})

    assert ((0, 1), 45) == (found.plans, found.bound)


def test_what_nobody_sells() -> None:
    with pytest.raises(NoOffer) as refused:
        buy([one({"x": 1})], Market({}, (), {}), {})

    assert "x" == refused.value.part


def test_no_time_is_no_answer() -> None:
    items = tuple(item(7 + 3 * i, 101 + 43 * i, part=f"p{i % 7}") for i in range(60))
    needs = one({f"p{i}": 97 + i for i in range(7)})
    found = buy([needs], Market({"h": House("h", "h", 7, 5000, 900)}, items, {}), {}, time_limit_s=1e-9)

    assert Outcome.OPTIMAL is not found.outcome


def least_by_enumeration(
    need: Mapping[str, int], kits: frozenset[str], market: Market, stock: Mapping[str, int]
) -> int:
    """Try every number of packs of every item up to a bound; the least high end."""
    best = 10**9
    for counts in product(range(9), repeat=len(market.items)):
        total, there = _invoice(counts, market), dict(stock)
        if total is None or total >= best:
            continue
        for sold, n in zip(market.items, counts, strict=True):
            there[sold.part] = there.get(sold.part, 0) + n * sold.pieces
        if _covers(need, kits, there, substitute="p" in market.instead):
            best = total
    return best


def _invoice(counts: tuple[int, ...], market: Market) -> int | None:
    total = 0
    for house in market.houses.values():
        low = high = 0
        for sold, n in zip(market.items, counts, strict=True):
            if n and sold.house == house.id:
                if n < sold.tiers[0].packs:
                    return None
                price = [tier.price for tier in sold.tiers if tier.packs <= n][-1]
                low, high = low + n * price.low, high + n * price.high
        used = any(n for sold, n in zip(market.items, counts, strict=True) if sold.house == house.id)
        if used and low < house.minimum:
            return None
        free = house.free_from is not None and low >= house.free_from
        total += high + (house.carriage if used and not free else 0)
    return total


def _covers(need: Mapping[str, int], kits: frozenset[str], there: Mapping[str, int], *, substitute: bool) -> bool:
    if any(not there.get(kit, 0) for kit in kits):
        return False
    short = max(need.get("p", 0) - there.get("p", 0), 0)
    spare = there.get("q", 0) - need.get("q", 0)
    return spare >= (short if substitute else 0) and (substitute or not short)


@st.composite
def tiny_markets(draw: st.DrawFn) -> Market:
    """One house with at most four items, dear enough that nine packs of each are never too few."""
    market = draw(markets())
    items = tuple(i for i in market.items if i.house == "a" and i.tiers[-1].price.low >= 6)[:4]
    return Market({"a": market.houses["a"]}, items, market.instead)


@settings(deadline=None, max_examples=60)
@given(tiny_markets(), st.integers(0, 4), st.integers(0, 3), st.booleans(), on_hand())
def test_agrees_with_enumeration(market: Market, p: int, q: int, kit: bool, stock: dict[str, int]) -> None:
    need, kits = {"p": p, "q": q}, frozenset(["k"] if kit else [])
    least = least_by_enumeration(need, kits, market, stock)
    try:
        found = buy([Customer("c", (Need({k: n for k, n in need.items() if n}, kits),))], market, stock)
    except NoOffer:
        assert 10**9 == least
        return

    if least == 10**9:  # stock serves a part, yet not all of it, and nobody sells more
        assert Outcome.INFEASIBLE is found.outcome
    else:
        assert (Outcome.OPTIMAL, least) == (found.outcome, found.invoice(market).high)
