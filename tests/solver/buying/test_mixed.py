"""Large orders: what branch and bound finds is put together exactly, and its bound is one."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from solver.buying import buy as buying
from solver.buying.buy import NoOffer, buy
from solver.buying.market import Market
from solver.buying.mixed import look
from solver.buying.need import Customer
from solver.choose.master import Outcome
from tests.benchmarks.order import bench
from tests.solver.buying.worlds import customers, markets, on_hand


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.lists(st.integers(-5, 5), min_size=4, max_size=4), st.integers(-8, 8)), max_size=4),
    st.lists(st.integers(-9, 9), min_size=4, max_size=4),
)
def test_agrees_with_cp_sat(rows: list[tuple[list[int], int]], costs: list[int]) -> None:
    """The same least objective on random models of every kind of constraint that an order has."""
    model = cp_model.CpModel()
    x = [model.new_int_var(0, 6, "") for _ in range(2)] + [model.new_bool_var("") for _ in range(2)]
    model.add_at_most_one(x[2], ~x[3])
    model.add_bool_or(x[2], x[3])
    for coefficients, least in rows:
        model.add(sum(c * v for c, v in zip(coefficients, x, strict=True)) >= least)
    model.minimize(sum(c * v for c, v in zip(costs, x, strict=True)))
    solver = cp_model.CpSolver()
    status = solver.solve(model)
    looked = look(model.proto, None, 10)

    relaxed = look(model.proto, None, 10, whole=False)
    least = round(solver.objective_value)

    assert (looked.values is not None) == (status == cp_model.OPTIMAL)
    if looked.values is not None:
        assert least == round(sum(c * v for c, v in zip(costs, looked.values, strict=True)))
        assert looked.bound in (least, least - 1)
        assert relaxed.bound <= least


def test_an_order_put_together_after_branch_and_bound_is_sound(monkeypatch: pytest.MonkeyPatch) -> None:
    """Covered to the piece, nothing used that is not there, above its bound."""
    monkeypatch.setattr(buying, "FIRST_SHARE", 0.0)
    buyers, market, stock = bench(6, parts=8, suppliers=2)
    found = buy(buyers, market, stock, time_limit_s=60)
    needs = [buyer.needs[k] for buyer, k in zip(buyers, found.plans, strict=True)]
    there = Counter(stock)
    for line in found.lines:
        there[line.item.part] += line.packs * line.item.pieces
    for (_, other), pieces in found.serves.items():
        there[other] -= pieces

    assert min(there.values()) >= 0
    for part in {part for need in needs for part in need.parts}:
        served = sum(pieces for (wanted, _), pieces in found.serves.items() if wanted == part)
        assert served == sum(need.parts.get(part, 0) for need in needs)
    assert all(there[kit] for need in needs for kit in need.kits)
    assert 0 < found.bound <= (found.own + found.invoice(market)).high


@settings(deadline=None, max_examples=30)
@given(customers(), markets(), on_hand())
def test_the_bound_holds_whatever_the_way(
    buyers: tuple[Customer, ...], market: Market, stock: dict[str, int]
) -> None:
    """With no time for CP-SAT to prove it, the order is no cheaper than the least and its bound no dearer."""
    try:
        least = buy(buyers, market, stock)
    except NoOffer:
        return
    share, buying.FIRST_SHARE = buying.FIRST_SHARE, 0.0
    try:
        found = buy(buyers, market, stock)
    finally:
        buying.FIRST_SHARE = share

    if least.outcome is Outcome.INFEASIBLE:
        assert () == found.plans
    else:
        assert found.bound <= least.bound <= (found.own + found.invoice(market)).high
