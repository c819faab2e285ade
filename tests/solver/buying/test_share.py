"""Shares sum to the whole, follow the weights and never cross their ends."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.buying.share import largest_remainder, share_cost
from solver.case.money import Cost

WEIGHTS = st.lists(st.fractions(0, 50, max_denominator=12), min_size=1, max_size=9)


@pytest.mark.parametrize(
    ("shares", "amount", "weights"),
    [((34, 33, 33), 100, (1, 1, 1)), ((1, 0), 1, (1, 1)), ((2, 3, 5), 10, (2, 3, 5)), ((4, 3), 7, (0, 0))],
    ids=["thirds", "one cent", "exact", "no weights"],
)
def test_small_amounts(shares: tuple[int, ...], amount: int, weights: tuple[int, ...]) -> None:
    assert shares == largest_remainder(amount, weights)


def test_seats_of_a_house() -> None:
    """Hamilton's method on the textbook vote 47000, 16000, 15800, 12000, 6100, 3100 for 10 seats: 5, 2, 1, 1, 1, 0
    (value from memory; the quotas 4.7, 1.6, 1.58, 1.2, 0.61, 0.31 show it).
    """
    assert (5, 2, 1, 1, 1, 0) == largest_remainder(10, (47000, 16000, 15800, 12000, 6100, 3100))


@pytest.mark.parametrize(
    ("amount", "weights"), [(1, ()), (-1, (1,)), (1, (2, -1))], ids=["nobody", "debt", "negative"]
)
def test_what_cannot_be_shared(amount: int, weights: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="cannot be shared"):
        largest_remainder(amount, weights)


@given(st.integers(0, 10**9), WEIGHTS)
def test_shares_sum_and_stay_within_one_of_the_exact_share(amount: int, weights: list[Fraction]) -> None:
    shares, total = largest_remainder(amount, weights), sum(weights)

    assert amount == sum(shares)
    if total:
        assert all(abs(s - amount * w / total) < 1 for s, w in zip(shares, weights, strict=True))


@given(st.integers(0, 10**6), st.integers(0, 10**6), WEIGHTS)
def test_both_ends_of_a_band_sum(low: int, span: int, weights: list[Fraction]) -> None:
    shares = share_cost(Cost(low, low + span), weights)

    assert Cost(low, low + span) == sum(shares, Cost())
    assert all(0 <= share.low <= share.high for share in shares)
