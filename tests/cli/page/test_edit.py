"""An edit changes the value meant and leaves every comment, and the order, as it was."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.yaml_text import Loc, parse_yaml
from cli.page.form.edit import changed, with_value, without
from tests.cli.page.cases import TEXT


def data(text: str) -> Any:
    return parse_yaml(text, "case").data


def at(text: str, loc: Loc) -> Any:
    found = data(text)
    for step in loc:
        found = found[step]
    return found


@pytest.mark.parametrize(
    ("loc", "value", "old", "new"),
    [
        (("segments", "A", "width_mm"), 2.1, "1.8 +- 0.05   #", "2.1   #"),
        (("segments", "A", "undercut_mm"), "0.3 +- 0.1", "undercut_mm: unknown", "undercut_mm: 0.3 +- 0.1"),
        (("money", "cap"), 450, "cap: 400", "cap: 450"),
        (("case",), "Two: implants # here", "A bar on two implants", '"Two: implants # here"'),
        (("segments", "A", "between"), ["S2", "S1"], "[S1, S2]", "[S2, S1]"),
        (("supports", "S1", "tooth"), 44, "tooth: 43", "tooth: 44"),
    ],
    ids=["number", "with-error", "in-a-line", "text", "list", "flow"],
)
def test_a_value_that_stands_there_is_exchanged_and_nothing_else(loc: Loc, value: Any, old: str, new: str) -> None:
    assert TEXT.replace(old, new) == with_value(TEXT, loc, value)


@pytest.mark.parametrize(
    ("loc", "value", "line", "after"),
    [
        (("segments", "A", "gap_mm"), 2, "    gap_mm: 2\n", "    undercut_mm: unknown\n"),
        (("money", "years"), 7, ", years: 7", "chair_per_hour: 120"),
        (("patient", "hand"), "weak", "patient:\n  hand: weak\n", "    undercut_mm: unknown\n"),
        (("supports", "S3"), {"tooth": 31}, "  S3: {tooth: 31}\n", "  S2: {tooth: 33}\n"),
        (("mix", "A"), "clip x2", "mix: {A: clip x2}\n", "chair_per_hour: 120}\n"),
    ],
    ids=["behind-a-comment", "in-a-line", "new-part", "site", "at-the-end"],
)
def test_what_is_added_goes_where_it_belongs(loc: Loc, value: Any, line: str, after: str) -> None:
    """A new part stands in the order of the model; comments stay before what they speak of."""
    assert TEXT.replace(after, after + line, 1) == with_value(TEXT, loc, value)


def test_what_is_taken_out_takes_only_its_own_line() -> None:
    assert TEXT.replace("    undercut_mm: unknown\n", "") == without(TEXT, ("segments", "A", "undercut_mm"))


def test_a_part_left_empty_goes_too() -> None:
    with_hand = with_value(TEXT, ("patient", "hand"), "weak")

    assert TEXT == without(with_hand, ("patient", "hand"))


TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), min_size=1, max_size=60).filter(
    lambda text: text.isprintable() or "\u202e" in text or "\u2028" in text
)


@given(value=TEXTS, loc=st.sampled_from([("case",), ("patient", "reference"), ("segments", "A", "alloy")]))
def test_any_text_reads_back_as_it_was_written(value: str, loc: Loc) -> None:
    """Markup, marks of YAML, line separators, marks that turn the direction, pictures: all only text."""
    new = with_value(TEXT, loc, value)

    assert value == at(new, loc)
    assert {loc} >= {place for place in changed(data(TEXT), data(new)) if place[: len(loc)] == loc}


@given(
    value=st.floats(min_value=-1e6, max_value=1e6) | st.integers(-(10**9), 10**9) | st.booleans(),
    loc=st.sampled_from([("money", "cap"), ("segments", "A", "height_mm"), ("bite", "force_n")]),
)
def test_any_number_reads_back(value: float, loc: Loc) -> None:
    assert value == at(with_value(TEXT, loc, value), loc)
