"""Facts of a scan in the text of a case: comments stay, what a person measured and the scan did not see stays."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.yaml_text import parse_yaml
from cli.files.case_merge import Change, merged
from cli.files.scan_case import begun
from solver.case.measure import Measure
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.scan.to_case.as_case import Found
from solver.scan.to_case.facts import Fact

CASE = """\
# Invented; the top comment
case: 'kept quotes'   # beside the title
arch: lower

supports:
  # right one
  i43: {tooth: 43}
  i33:
    tooth: 33  # guessed
    connection: documented
segments:
  A:
    between: [i43, i33]  # the only stretch
    width_mm: 1.80   # calliper
    gap_mm: 1.5
    alloy: gold
# what it may cost
money: {currency: EUR, bench_per_hour: 40, chair_per_hour: 100}  # ours
"""
FOUND = Found(
    supports={"i43": {"at_mm": Fact((-13.0, 23.0, 0.0))}, "i33": {"at_mm": Fact((13.0, 23.0, 0.0))}},
    segments={
        "A": {
            "between": Fact(("i33", "i43")),
            "section": Fact("round"),
            "width_mm": Fact("1.9 +- 0.02"),
            "gap_mm": Fact("unknown", "not covered by the scan"),
            "undercut_mm": Fact("unknown", "not covered by the scan"),
        }
    },
    ends={"E1": {"on": Fact("i33"), "length_mm": Fact(8.0), "at_mm": Fact((18.0, 16.0, 0.0), "level of the bar")}},
    titles={},
    notes=(),
)
EMPTY = Found({}, {}, {}, {}, ())


def read(text: str) -> Case:
    return read_case(parse_yaml(text, "case.yaml"))


def test_the_whole_text() -> None:
    assert (
        """\
# Invented; the top comment
case: 'kept quotes'   # beside the title
arch: lower

supports:
  # right one
  i43: {at_mm: [-13.0, 23.0, 0.0]}
  i33:
    at_mm: [13.0, 23.0, 0.0] # guessed
    connection: documented
segments:
  A:
    between: [i43, i33]  # the only stretch
    width_mm: 1.9 +- 0.02 # calliper
    gap_mm: 1.5
    alloy: gold
    section: round
    undercut_mm: unknown # not covered by the scan
ends:
  E1:
    on: i33
    length_mm: 8.0
    at_mm: [18.0, 16.0, 0.0]  # level of the bar
# what it may cost
money: {currency: EUR, bench_per_hour: 40, chair_per_hour: 100}  # ours
"""
        == merged(CASE, FOUND).text
    )


def test_what_the_scan_contradicts_is_told() -> None:
    assert (
        Change("supports.i43", "tooth 43", "at_mm [-13.0, 23.0, 0.0]"),
        Change("supports.i33", "tooth 33", "at_mm [13.0, 23.0, 0.0]"),
        Change("segments.A.width_mm", "1.8", "1.9 +- 0.02"),
    ) == merged(CASE, FOUND).changes


def test_merging_twice_changes_nothing_more() -> None:
    once = merged(CASE, FOUND).text

    assert (once, ()) == merged(once, FOUND)


def test_the_case_as_merged_says_what_the_scan_says() -> None:
    case = read(merged(CASE, FOUND).text)

    assert (Measure(1.9, 0.02), Measure(1.5), Measure()) == (
        case.segments["A"].width_mm,
        case.segments["A"].gap_mm,
        case.segments["A"].undercut_mm,
    )
    assert (-13.0, 23.0, 0.0) == case.supports["i43"].at_mm


comments = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S"]), min_size=1, max_size=12)


@given(lines=st.lists(st.tuples(st.integers(0, 17), comments), max_size=6))
def test_every_comment_stays(lines: list[tuple[int, str]]) -> None:
    """Wherever it stands on a line of its own or behind a value."""
    text = CASE.splitlines()
    for place, words in lines:
        text[place % len(text)] += f" # {words}" if place % 2 else f"\n# {words}"
    given_text = "\n".join(text) + "\n"

    result = merged(given_text, FOUND).text

    for _, words in lines:
        assert f"# {words}" in result
    read(result)


@pytest.mark.parametrize("arch", ["lower", "upper"])
def test_a_case_that_begins_with_a_scan_says_what_is_no_measurement(arch: str) -> None:
    start = begun('a "title": # odd', arch, "EUR")  # type: ignore[arg-type]
    case = read(merged(start, FOUND).text)

    assert ('a "title": # odd', arch) == (case.case, case.arch)
    assert ["E1"] == [*case.ends]
    assert all("placeholder" in line for line in start.splitlines() if re.search(r"unknown  |: 0 |EUR", line))
