"""Every line of the measured data is there, and stands as it says."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from tests.published.measured.figure import figure, place
from tests.published.measured.page import FIGURE, PAGE, SECTIONS, page, rows
from tests.published.measured.row import Row, Standing

ROWS = rows()
LINES = {
    "0", "1.1 A", "1.1 B", "1.1 open", "1.2 A", "1.2 B", "1.2 C", "1.3 A", "1.3 B", "1.3 B open", "1.3 C", "1.4 A",
    "1.4 B", "1.4 order", "1.5 A", "1.5 B", "1.5 C", "1.6", "1.7 A", "1.7 B", "1.7 open", "1.8", "1.9 A", "1.9 B",
    "1.10", "1.10 A", "1.10 B", "1.11", "1.12", "2.1", "2.2", "2.3", "2.4", "2.6", "2.6 open", "2.6 derived",
    "2.6 defaults",
    "3.1", "3.1 A", "3.1 A bar", "3.1 A lone", "3.1 B", "3.1 B balls", "3.1 C", "3.2", "3.3", "3.3 sink", "3.4",
    "3.5", "3.5 settling", "4 A", "4 A months", "4 B", "4 C", "4 D", "4 relines", "4 wear", "4 resorption",
    "5 A", "5 B", "5 C", "6", "6 sign", "6 minutes",
    "7 room", "7 parallel", "7 hygiene", "7 line", "7 turning", "7 upkeep", "7 number", "7 opinion", "7 case",
    "7 case cast",
}  # fmt: skip
"""What the collection of measured data has that can be tested; none may be left out silently."""


@pytest.mark.parametrize("row", ROWS, ids=[f"{row.line} {row.claim}" for row in ROWS])
def test_a_line_stands_as_it_says(row: Row) -> None:
    """What is open, or a limit, is not to agree by itself one day without being told so."""
    found = row.ours()

    assert math.isfinite(found)
    assert row.agrees() == (row.standing is Standing.AGREES), (
        f"{row.line} {row.claim}: {found:g}, {row.source} allows {row.accepted}; it stands as {row.standing}"
    )


def test_no_line_is_left_out() -> None:
    assert {row.line for row in ROWS} == LINES


def test_what_does_not_agree_says_why_and_a_limit_has_a_figure_to_miss() -> None:
    counts = Counter(row.standing for row in ROWS)

    assert all(len(row.why) > 3 and len(row.source) > 8 for row in ROWS)
    assert all(row.accepted is not None for row in ROWS if row.standing is not Standing.OPEN)
    assert counts[Standing.AGREES] > 2 * (counts[Standing.OPEN] + counts[Standing.LIMIT])


def test_the_page_of_measured_data_is_what_the_lines_make() -> None:
    assert page() == PAGE.read_text(encoding="utf-8"), "run `python -m tests.published.measured`"


def test_the_figure_is_what_the_lines_make_and_has_a_point_for_each() -> None:
    drawn = figure(SECTIONS)

    assert drawn == FIGURE.read_text(encoding="utf-8"), "run `python -m tests.published.measured`"
    marks = sum(drawn.count(mark) for mark in ("<circle", 'width="6"', "<path", "not seen"))
    assert marks == len(ROWS)


def test_a_point_lies_in_the_span_just_where_its_line_agrees() -> None:
    for row in ROWS:
        at = place(row)
        if at is not None:
            assert (-1e-6 <= at and (at <= 1 + 1e-6 or math.isinf(row.accepted[1] if row.accepted else 0))) == (
                row.agrees()
            ), row.claim
