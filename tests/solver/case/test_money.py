"""Money is exact: whole minor units, halves away from zero, digits as the currency has them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.case.money import Cost, Purse, currencies, major, minor_digits


def purse(digits: int = 2, bench: str = "60", chair: str = "120", exchange: str = "1") -> Purse:
    return Purse(digits, Decimal(bench), Decimal(chair), Decimal(exchange))


@pytest.mark.parametrize(
    ("digits", "currency"),
    [(2, "EUR"), (2, "USD"), (0, "JPY"), (3, "KWD"), (3, "TND"), (0, "XOF"), (2, "CHF")],
)
def test_digits_as_iso_4217_lists_them(digits: int, currency: str) -> None:
    """ISO 4217 list one (recalled); CLDR agrees for these."""
    assert digits == minor_digits(currency)
    assert currency in currencies()


@pytest.mark.parametrize("code", ["DEM", "XEU", "XAU", "QQQ"], ids=["ended", "unit of account", "gold", "none"])
def test_what_nobody_pays_with_is_no_currency(code: str) -> None:
    assert code not in currencies()


@pytest.mark.parametrize(
    ("minor", "amount", "digits"),
    [
        (1, 0.005, 2),
        (1999, 19.99, 2),
        (102, 1.015, 2),
        (8, 7.5, 0),
        (9, 8.5, 0),
        (1, 0.0005, 3),
        (0, 0.00499, 2),
        (110, 1.1, 2),
    ],
    ids=[
        "half a cent",
        "cents",
        "half, binary below",
        "half yen",
        "half yen, even",
        "half, 3 digits",
        "less",
        "binary",
    ],
)
def test_halves_go_up_as_written(minor: int, amount: float, digits: int) -> None:
    assert minor == purse(digits).minor(amount)


def test_minutes_are_rounded_once_for_bench_and_chair_together() -> None:
    """A third of a cent each at bench and chair; rounded apart, both would be lost."""
    assert Cost(1, 1) == purse(bench="0.20", chair="0.20").minutes((1, 1), (1, 1))


def test_exchange_goes_before_rounding() -> None:
    assert Cost(1635, 163_550) == purse(0, exchange="163.55").price(9.997, 1000)


def test_major_shows_every_digit() -> None:
    assert ("12.30", "1.234", "1234") == tuple(str(major(m, d)) for m, d in ((1230, 2), (1234, 3), (1234, 0)))


@given(st.lists(st.tuples(st.integers(0, 10**9), st.integers(0, 10**9)), max_size=8))
def test_sums_are_exact(bands: list[tuple[int, int]]) -> None:
    """The sum of costs is the sum of their ends, in any order."""
    total = sum((Cost(*band) for band in bands), Cost())

    assert Cost(sum(low for low, _ in bands), sum(high for _, high in bands)) == total
    assert total == sum((Cost(*band) for band in reversed(bands)), Cost())


@given(
    amount=st.decimals(0, 10**6, places=3), digits=st.sampled_from([0, 2, 3]), rate=st.decimals("0.01", 200, places=2)
)
def test_a_price_is_the_nearest_minor_unit(amount: Decimal, digits: int, rate: Decimal) -> None:
    exact = Fraction(amount) * Fraction(rate) * 10**digits

    low = purse(digits, exchange=str(rate)).price(float(amount), float(amount)).low

    assert abs(low - exact) <= Fraction(1, 2)
    assert low == int(exact + Fraction(1, 2))


@given(minor=st.integers(0, 10**12), digits=st.sampled_from([0, 2, 3]))
def test_major_and_minor_undo_each_other(minor: int, digits: int) -> None:
    assert minor == purse(digits).minor(major(minor, digits))
