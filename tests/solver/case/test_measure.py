"""Measured numbers: what is read, what is refused with which advice, and arithmetic with errors."""

from __future__ import annotations

import re
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from solver.case.measure import UNKNOWN, Measure

SHEET: TypeAdapter[Measure] = TypeAdapter(Measure)


@pytest.mark.parametrize(
    ("expected", "given_"),
    [
        (Measure(2.0), 2),
        (Measure(1.8), 1.8),
        (Measure(1.8, 0.1), "1.8 +- 0.1"),
        (Measure(1.8, 0.1), "1.8+/-.1"),
        (Measure(1.8, 0.1), " 1.8 ± 0.1 "),
        (Measure(-0.5, 0.0), "-0.5 +- 0"),
        (UNKNOWN, "unknown"),
        (UNKNOWN, " Unknown "),
        (Measure(1.5, 0.2), Measure(1.5, 0.2)),
    ],
    ids=["whole", "decimal", "error", "tight spelling", "sign", "negative, exact", "unknown", "capital", "itself"],
)
def test_reads(expected: Measure, given_: object) -> None:
    assert expected == Measure.read(given_)


PLAIN = "write `1.8`, `1.8 +- 0.1` or `unknown`"


@pytest.mark.parametrize(
    ("message", "given_"),
    [
        (f"expected a number, got true; {PLAIN}", True),
        (f"expected a number, got null; {PLAIN}", None),
        (f"expected a number, got 'thick'; {PLAIN}", "thick"),
        ("expected a number, got '1,8'; write `1.8`, or `1.8 +- 0.1` with its error", "1,8"),
        ("expected a number, got '1.8'; write `1.8`, or `1.8 +- 0.1` with its error", "1.8"),
        ("expected a number, got '1.8 mm'; write the number without its unit: `1.8`", "1.8 mm"),
        ("expected a number, got '7°'; write the number without its unit: `7`", "7°"),
        ("expected a number, got '0.07 inch'; 0.07 inch is 1.778 mm: write `1.778`", "0.07 inch"),
        ("expected a number, got '0,18cm'; 0,18cm is 1.8 mm: write `1.8`", "0,18cm"),
        ("expected a number, got '30 µm'; 30 µm is 0.03 mm: write `0.03`", "30 µm"),
        (
            "expected a number, got '2 kg'; convert it to the unit that is asked for, and write the number alone",
            "2 kg",
        ),
        ("expected a number, got '1.000,00'; write `1000.00`, or `1000.00 +- 0.1` with its error", "1.000,00"),
        ("expected a number, got '1,000.5'; write `1000.5`, or `1000.5 +- 0.1` with its error", "1,000.5"),
        ("the error of '1.8 +- -0.1' is negative; write `1.8 +- 0.1`", "1.8 +- -0.1"),
        ("expected a finite number; write the measured value or `unknown`", inf),
        ("expected a finite number; write the measured value or `unknown`", 10**400),
        ("expected a finite number; write the measured value or `unknown`", "1.8 +- 1e999"),
        ("expected a finite number; write the measured value or `unknown`", "1e999 +- 1"),
    ],
    ids=[
        "yes",
        "nothing",
        "word",
        "comma",
        "quoted",
        "unit",
        "degrees",
        "inch",
        "cm",
        "micrometres",
        "weight",
        "thousands",
        "thousands set apart by commas",
        "error < 0",
        "inf",
        "huge",
        "inf error",
        "inf value",
    ],
)
def test_refuses_with_advice(message: str, given_: object) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        Measure.read(given_)


@pytest.mark.parametrize(
    ("low", "high", "measure"),
    [(1.7, 1.9, Measure(1.8, 0.1)), (1.8, 1.8, Measure(1.8)), (-inf, inf, UNKNOWN)],
    ids=["error", "exact", "unknown"],
)
def test_ends_of_the_error(low: float, high: float, measure: Measure) -> None:
    assert low == pytest.approx(measure.low)
    assert high == pytest.approx(measure.high)


@pytest.mark.parametrize(
    ("expected", "measure"),
    [("1.8 +- 0.1", Measure(1.8, 0.1)), ("1.8", Measure(1.8)), ("unknown", UNKNOWN), ("10.35", Measure(10.3456))],
    ids=["error", "exact", "unknown", "four figures"],
)
def test_is_shown_short(expected: str, measure: Measure) -> None:
    assert expected == str(measure)


def test_difference_adds_the_errors() -> None:
    difference = Measure(14, 0.5).less(Measure(4, 0.25))

    assert Measure(10, 0.75) == difference
    assert UNKNOWN == Measure(14).less(UNKNOWN) == UNKNOWN.less(Measure(14))


def test_shift_keeps_the_error_and_leaves_the_unknown_unknown() -> None:
    assert Measure(1.5, 0.1) == Measure(1.0, 0.1).shifted(0.5)
    assert UNKNOWN == UNKNOWN.shifted(0.5)


@given(st.builds(Measure, st.none() | st.floats(-1e6, 1e6), st.floats(0, 1e3)))
def test_what_is_written_reads_back(measure: Measure) -> None:
    """The exact written form; only the error of an unknown is lost."""
    written = SHEET.dump_python(measure, mode="json")

    assert (measure if measure.known else UNKNOWN) == SHEET.validate_python(written)


def test_a_very_long_number_that_is_none_is_refused_like_any_other() -> None:
    """Until there was one way to read a number this took minutes."""
    with pytest.raises(ValueError, match="expected a number"):
        Measure.read("1" * 100_000 + "!")
