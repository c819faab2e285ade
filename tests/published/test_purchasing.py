"""The whole run of the nugget puzzle, and what is no question, beyond the table of checks."""

from __future__ import annotations

from itertools import count

import pytest

from solver.newsvendor import critical_ratio
from tests.published.tables.purchasing import UNATTAINABLE, cover


@pytest.mark.parametrize("demand", range(1, 51))
def test_sizes_6_9_20(demand: int) -> None:
    """With sizes 6, 9 and 20 these 22 numbers cannot be made, the largest 43 (read at futilitycloset.com, "Piece
    work", 2011). Paid by the piece, the least purchase is the next number that can.
    """
    bought = next(n for n in count(demand) if n not in UNATTAINABLE)

    assert (bought, bought) == cover({6: 6, 9: 9, 20: 20}, demand)


@pytest.mark.parametrize(
    ("short", "over"), [(0, 1), (1, 0), (-1, 2), (float("nan"), 1)], ids=["free", "no loss", "gain", "nan"]
)
def test_costs_that_make_no_question(short: float, over: float) -> None:
    with pytest.raises(ValueError, match="must be positive"):
        critical_ratio(short, over)
