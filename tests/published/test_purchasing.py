"""The whole run of the nugget puzzle, and what is no question, beyond the table of checks."""

from __future__ import annotations

from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from solver.buying.forecast import poisson_level
from solver.buying.newsvendor import best_level, critical_ratio, expected_short
from tests.published.tables.purchasing import UNATTAINABLE, cover


@pytest.mark.parametrize("demand", range(1, 51))
def test_sizes_6_9_20(demand: int) -> None:
    """With sizes 6, 9 and 20 these 22 numbers cannot be made, the largest 43 (read at futilitycloset.com, "Piece
    work", 2011). Paid by the piece, the least purchase is the next number that can.
    """
    bought = next(n for n in count(demand) if n not in UNATTAINABLE)

    assert (bought, bought) == cover({6: 6, 9: 9, 20: 20}, demand)


def test_two_coprime_sizes() -> None:
    """Sizes 9 and 20: the largest number that cannot be made is 9 x 20 - 9 - 20 = 151 (Sylvester's formula, from
    memory; the figure read and computed again). Nine numbers in a row that can be made reach every later one.
    """
    assert 152 == cover({9: 9, 20: 20}, 151)[1]
    assert [*range(152, 161)] == [cover({9: 9, 20: 20}, demand)[1] for demand in range(152, 161)]


def test_over_buying() -> None:
    """Packs of 1 at 5, 4 at 18, 10 at 40 (own table, by enumeration): for nine a pack of ten is cheapest."""
    assert (40, 10) == cover({1: 5, 4: 18, 10: 40}, 9)


def test_sales_and_lost_sales() -> None:
    """Price 7, cost 5, N(50, 20), 39 ordered (read in the documentation of NewsvendorModel.jl)."""
    lost = expected_short(stats.norm(50, 20), 39)

    assert lost == pytest.approx(14.66, abs=5e-3)
    assert 50 - lost == pytest.approx(35.34, abs=5e-3)


def test_newsstand_before_rounding() -> None:
    """Nahmias, Production and Operations Analysis (from memory): 0.50 and 0.15, N(11.73, 4.74)."""
    assert best_level(stats.norm(11.73, 4.74), critical_ratio(0.50, 0.15)) == pytest.approx(15.22, abs=0.02)


@pytest.mark.parametrize(
    ("ratio", "short", "over"),
    [(0.68966, 59 - 39, 39 - 30), (2 / 7, 7 - 5, 5), (0.769, 0.50, 0.15), (60 / 170, 60, 110)],
    ids=["item at 39, 59 and 30", "price 7, cost 5", "newsstand", "below a half"],
)
def test_critical_ratios(ratio: float, short: float, over: float) -> None:
    """The ratios that the worked examples of the table print on their way."""
    assert critical_ratio(short, over) == pytest.approx(ratio, abs=5e-4)


@pytest.mark.parametrize(
    ("short", "over"), [(0, 1), (1, 0), (-1, 2), (float("nan"), 1)], ids=["free", "no loss", "gain", "nan"]
)
def test_costs_that_make_no_question(short: float, over: float) -> None:
    with pytest.raises(ValueError, match="must be positive"):
        critical_ratio(short, over)


@given(st.floats(0.01, 0.9999), st.floats(0, 5000))
def test_the_level_of_a_poisson_demand_is_that_of_scipy(service: float, mean: float) -> None:
    """At a step of the distribution, to the last digit, either side of it may be taken."""
    level = poisson_level(service, mean)

    assert stats.poisson.cdf(level, mean) >= service - 1e-9 if mean else level == 0
    assert not level or stats.poisson.cdf(level - 1, mean) <= service + 1e-9
