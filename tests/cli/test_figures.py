"""Figures as people say them at a prompt."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.interview.figures import amount, figure
from cli.interview.prompts import Unusable

SAID: dict[str, tuple[str, str, Any]] = {
    "bare": ("3", "mm", 3),
    "with its unit": ("3 mm", "mm", 3),
    "unit without a blank": ("1.8mm", "mm", 1.8),
    "decimal comma": ("1,8", "mm", 1.8),
    "comma, unit and error": ("1,8 +- 0,1 mm", "mm", "1.8 +- 0.1"),
    "unit at both": ("1.8 mm ± 0.1 mm", "mm", "1.8 ± 0.1"),
    "capitals": ("14 MM", "mm", 14),
    "degrees": ("10°", "deg", 10),
    "degrees in words": ("10 degrees", "deg", 10),
    "newtons": ("50 N", "N", 50),
    "years": ("84 years", "years", 84),
    "not known": ("unknown", "mm", "unknown"),
    "another unit is left to the loader": ("3 cm", "mm", "3 cm"),
    "metres are no millimetres": ("3 m", "mm", "3 m"),
    "a word": ("wide", "mm", "wide"),
}
"""What is said, the unit that is asked for, and what stands in the file."""


@pytest.mark.parametrize(("said", "unit", "meant"), SAID.values(), ids=SAID)
def test_figures_with_comma_and_unit(said: str, unit: str, meant: object) -> None:
    assert meant == figure(said, unit)


REFUSED = {
    "eighth of an inch": ("1/8 in", "3.175"),
    "quarter with its sign": ('1/4"', "6.35"),
    "one and a half": ("1 1/2 inch", "38.1"),
    "decimal inches": ("0.07 inch", "1.778"),
    "decimal inches with a comma": ("0,5 in", "12.7"),
    "fraction of a millimetre": ("1/8", "0.125"),
}
"""An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""


@pytest.mark.parametrize(("said", "advised"), REFUSED.values(), ids=REFUSED)
def test_inches_and_fractions_are_refused_with_the_millimetres(said: str, advised: str) -> None:
    with pytest.raises(Unusable) as refused:
        figure(said, "mm")

    assert refused.value.advice.endswith(f"`{advised}`")


SUMS: dict[str, tuple[str, Any]] = {
    "bare": ("50", 50),
    "with its currency": ("50 EUR", 50),
    "currency first": ("eur 49.90", 49.9),
    "decimal comma": ("100,50 EUR", 100.5),
    "a word": ("cheap", "cheap"),
}


@pytest.mark.parametrize(("said", "meant"), SUMS.values(), ids=SUMS)
def test_sums_of_money(said: str, meant: object) -> None:
    assert meant == amount(said, "EUR")


def test_a_comma_that_may_stand_between_thousands_is_refused() -> None:
    with pytest.raises(Unusable, match=r"1500 or 1.500"):
        amount("1,500", "EUR")


@given(st.decimals(0, 999, places=2))
def test_comma_point_and_unit_mean_the_same(number: object) -> None:
    told = str(number)

    assert figure(told, "mm") == figure(told.replace(".", ","), "mm") == figure(f"{told} mm", "mm")
