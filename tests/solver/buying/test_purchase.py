"""Common orders: never dearer than apart, and paid for to the last cent."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from solver.buying.alone import buy_alone
from solver.buying.buy import NoOffer, buy
from solver.buying.common_order import Order, order
from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.case.money import Cost
from tests.solver.buying.worlds import customers, markets, on_hand


def ordered(buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]) -> Order:
    found = order(buyers, market, stock)
    assert found is not None
    return found


@settings(deadline=None, max_examples=60)
@given(customers(), markets(), on_hand())
def test_what_the_cases_pay_is_the_invoice(
    buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]
) -> None:
    found = ordered(buyers, market, stock)

    assert found.invoice == sum((payer.invoice for payer in found.payers), Cost())
    assert found.total == sum((payer.pays for payer in found.payers), Cost())
    assert all(0 <= payer.invoice.low <= payer.invoice.high for payer in found.payers)
    assert found.invoice == sum((entry.cost for entry in found.shared), Cost())


@settings(deadline=None, max_examples=60)
@given(customers(), markets(bands=False), on_hand())
def test_together_is_never_dearer_at_fixed_prices(
    buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]
) -> None:
    """Joining orders loses no break, and what falls under a threshold can be filled for less than the other order."""
    found = ordered(buyers, market, stock)

    assert found.total.high <= found.apart.high


@settings(deadline=None, max_examples=60)
@given(customers(), markets(breaks=False), on_hand())
def test_together_is_never_dearer_without_breaks(
    buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]
) -> None:
    found = ordered(buyers, market, stock)

    assert found.total.high <= found.apart.high


@settings(deadline=None, max_examples=40)
@given(customers(), markets(), on_hand())
def test_choice_of_plans_never_costs(buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]) -> None:
    """With the other plans left out the common purchase is no cheaper."""
    best_only = tuple(Customer(buyer.name, buyer.needs[:1]) for buyer in buyers)

    assert ordered(buyers, market, stock).total.high <= ordered(best_only, market, stock).total.high


@settings(deadline=None, max_examples=60)
@given(customers(), markets(), on_hand())
def test_pieces_balance(buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]) -> None:
    """Bought and taken from stock are used or left over; no more is taken than is there."""
    found = ordered(buyers, market, stock)
    bought = sum(line.packs * line.item.pieces for line in found.purchase.lines if line.item.part != "k")
    used = sum(sum(payer.need.parts.values()) for payer in found.payers)
    left = sum(count for part, count in found.left.items() if part != "k")

    assert used + left == bought + sum(found.taken.values())
    assert all(count <= stock[part] for part, count in found.taken.items())


def test_leftovers_of_a_pack_are_paid_by_use_and_carriage_by_goods() -> None:
    """Of a pack of four the first case uses two, the second one: 40 is paid as 27 and 13, carriage 6 as 4 and 2."""
    market = Market({"h": House("h", "h", 6)}, (Item("h", "p", 4, (Tier(1, Cost(40, 40)),)),), {})
    found = ordered((Customer("a", (Need({"p": 2}),)), Customer("b", (Need({"p": 1}),))), market, {})

    assert [31, 15] == [payer.invoice.high for payer in found.payers]
    assert [46, 46] == [payer.alone.high for payer in found.payers]
    assert {"p": 1} == found.left


def test_who_uses_stock_pays_as_who_uses_the_pack() -> None:
    market = Market({"h": House("h", "h")}, (Item("h", "p", 1, (Tier(1, Cost(10, 10)),)),), {})
    found = ordered((Customer("a", (Need({"p": 1}),)), Customer("b", (Need({"p": 1}),))), market, {"p": 1})

    assert [5, 5] == [payer.invoice.high for payer in found.payers]
    assert {"p": 1} == found.taken


@settings(deadline=None, max_examples=60)
@given(customers(most_plans=1), markets(), on_hand())
def test_an_order_apart_is_that_of_the_whole_market(
    buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]
) -> None:
    """Offers that are left out for one case change nothing of what it pays, nor whether it can buy at all."""
    for buyer in buyers:
        try:
            whole = buy([buyer], market, stock)
        except NoOffer:
            with pytest.raises(NoOffer):
                buy_alone(buyer.needs[0], market, stock, 30)
            continue
        lean = buy_alone(buyer.needs[0], market, stock, 30)

        assert whole.outcome is lean.outcome
        assert whole.own + whole.invoice(market) == lean.own + lean.invoice(market)


def test_a_filler_is_found_where_it_pays() -> None:
    """A part that is not needed lifts the order over a threshold: over the least order at 50, over carriage at 20."""
    needed, cheap = Item("h", "p", 1, (Tier(1, Cost(40, 40)),)), Item("h", "q", 1, (Tier(1, Cost(10, 10)),))
    for house in (House("h", "h", minimum=50), House("h", "h", carriage=20, free_from=50)):
        found = buy_alone(Need({"p": 1}), Market({"h": house}, (needed, cheap), {}), {}, 30)

        assert [("p", 1), ("q", 1)] == [(line.item.part, line.packs) for line in found.lines]
