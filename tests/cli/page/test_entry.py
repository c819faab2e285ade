"""What is typed means the same with a comma and with a point; what cannot be meant says what to write instead."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.interview.prompts import Unusable
from cli.page.form.entry import Kind, Said, Shown, read, shown
from cli.wording.numbers import Figures
from solver.case.measure import Measure


@pytest.mark.parametrize(
    ("kind", "value", "error", "expected"),
    [
        ("measure", "1,8", "", 1.8),
        ("measure", "1.8", "0,05", "1.8 +- 0.05"),
        ("measure", "1,8 ± 0,1", "", "1.8 +- 0.1"),
        ("measure", "2 +- 0.5", "", "2 +- 0.5"),
        ("measure", "1.8", "0", 1.8),
        ("measure", "", "", "unknown"),
        ("measure", "?", "", "unknown"),
        ("measure", "don't know", "0.1", "unknown"),
        ("number", "12", "", 12),
        ("number", ",5", "", 0.5),
        ("number", "", "", None),
        ("number", "\N{MINUS SIGN}3", "", -3),
        ("amount", "1200", "", 1200),
        ("amount", "1200,50", "", 1200.5),
        ("text", "  a title ", "", "a title"),
        ("text", "", "", None),
        ("tick", "yes", "", True),
        ("words", "nickel, cobalt,", "", ["nickel", "cobalt"]),
        ("words", " ", "", None),
        ("place", "43", "", 43),
        ("place", "-16; 17 0,5", "", [-16, 17, 0.5]),
        ("place", "[-16, 17, 0]", "", [-16, 17, 0]),
        ("spot", "1,5 2", "", [1.5, 2]),
        ("point", "", "", None),
    ],
)
def test_an_entry_is_read(kind: Kind, value: str, error: str, expected: Any) -> None:
    assert expected == read(kind, Said(value, error))


@pytest.mark.parametrize(
    ("kind", "value", "error", "problem", "advice"),
    [
        ("measure", "abc", "", "'abc' is no number", "write for instance 1.8 or 1,8, or leave it empty"),
        ("measure", "1.8 mm", "", "'1.8 mm' is more than a number", "write the number alone, without unit or spaces"),
        ("measure", "1.8", "-0.1", "the error is negative", "write 0.1; it counts both ways"),
        ("number", "1e3", "", "'1e3' is more than a number", "write the number alone, without unit or spaces"),
        ("amount", "1.200", "", "'1.200' can be read in two ways", "write 1200, or two decimals"),
        ("tick", "maybe", "", "'maybe' is neither", "answer yes or no"),
        (
            "place", "43 44", "", "'43 44' is not understood",
            "write an FDI tooth such as 43, or x, y and z in mm with blanks between",
        ),
        ("text", "x" * 4001, "", "this is longer than 4000 letters", "write less"),
    ],
)  # fmt: skip
def test_an_entry_is_refused_with_what_to_write(
    kind: Kind, value: str, error: str, problem: str, advice: str
) -> None:
    with pytest.raises(Unusable) as refused:
        read(kind, Said(value, error))

    assert (problem, advice) == (refused.value.problem, refused.value.advice)


@pytest.mark.parametrize(
    ("kind", "value", "locale", "expected"),
    [
        ("measure", "1.8 +- 0.05", "de_DE", Shown("1,8", "0,05")),
        ("measure", 1.8, "en", Shown("1.8")),
        ("measure", "unknown", "en", Shown()),
        ("measure", None, "en", Shown()),
        ("amount", 1234.5, "de_DE", Shown("1234,5")),
        ("place", [-16, 17.5, 0], "de_DE", Shown("-16; 17,5; 0")),
        ("place", 43, "de_DE", Shown("43")),
        ("words", ["nickel", "cobalt"], "en", Shown("nickel, cobalt")),
    ],
)
def test_a_value_is_shown_as_the_locale_writes_it(kind: Kind, value: Any, locale: str, expected: Shown) -> None:
    assert expected == shown(kind, value, Figures.of(locale))


@given(
    value=st.integers(0, 10**7).map(lambda n: n / 1000),
    error=st.integers(0, 1000).map(lambda n: n / 1000),
    locale=st.sampled_from(["en", "de_DE", "fr_FR"]),
)
def test_what_is_shown_reads_back_as_it_was(value: float, error: float, locale: str) -> None:
    """The field and the file say the same in every locale."""
    written = read("measure", Said(str(value), str(error)))

    again = read("measure", Said(*shown("measure", written, Figures.of(locale))))

    assert Measure.read(written) == Measure.read(again)
