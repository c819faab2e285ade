"""Covering with packs and one-period stock, against worked examples from outside.

How each is known stands beside it: read on the page named, or from memory; all were computed again here.
"""

from __future__ import annotations

from itertools import count

import pytest

from solver.buying.buy import buy
from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.master import Outcome
from solver.money import Cost


def cover(packs: dict[int, int], demand: int) -> tuple[int, int]:
    """Least price that covers a demand, and the pieces bought; `packs`: pieces to price."""
    items = tuple(Item("h", "p", size, (Tier(1, Cost(price, price)),)) for size, price in packs.items())
    found = buy([Customer("c", (Need({"p": demand}),))], Market({"h": House("h", "house")}, items, {}), {})
    assert Outcome.OPTIMAL is found.outcome
    return sum(line.cost.high for line in found.lines), sum(line.packs * line.item.pieces for line in found.lines)


UNATTAINABLE = {1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43}


@pytest.mark.parametrize("demand", range(1, 51))
def test_sizes_6_9_20(demand: int) -> None:
    """The nugget puzzle: with sizes 6, 9 and 20 these 22 numbers cannot be made, the largest 43 (read at
    futilitycloset.com, "Piece work", 2011). Paid by the piece, the least purchase is the next number that can.
    """
    bought = next(n for n in count(demand) if n not in UNATTAINABLE)

    assert (bought, bought) == cover({6: 6, 9: 9, 20: 20}, demand)


@pytest.mark.parametrize(
    ("fewest", "sizes", "demand"),
    [(2, (1, 3, 4), 6), (2, (1, 4, 6), 8), (2, (33, 24, 12, 5, 1), 36), (4, (5, 2, 1), 14)],
    ids=["1-3-4, from memory", "1-4-6, read", "33-24-12-5-1, input read", "5-2-1, read"],
)
def test_fewest_packs_where_the_largest_first_may_fail(fewest: int, sizes: tuple[int, ...], demand: int) -> None:
    """Textbook change-making (14 from 5, 2, 1: Klappenecker, CSCE 411 problem set 5). An exact total is forced by a
    price of 1000 a piece and 1 a pack: a piece too many costs more than any number of packs saves.
    """
    price, bought = cover({size: 1 + 1000 * size for size in sizes}, demand)

    assert (demand, fewest) == (bought, price - 1000 * demand)


@pytest.mark.parametrize(
    ("price", "demand"), [(5, 1), (15, 3), (18, 4), (33, 7), (36, 8), (40, 9), (40, 10), (55, 13), (73, 17)]
)
def test_covering_with_over_buying_and_mixes(price: int, demand: int) -> None:
    """Own table, computed outside the project by enumeration: packs of 1 at 5, 4 at 18, 10 at 40."""
    assert price == cover({1: 5, 4: 18, 10: 40}, demand)[0]
