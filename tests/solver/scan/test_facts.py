"""Figures as they stand in a case: the band as written holds the band as measured."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.case.measure import Measure
from solver.scan.bar.segment import Segment, Summary
from solver.scan.bar.support import Support
from solver.scan.section.figure import Figure, Measured, Reason, Unknown, root_sum
from solver.scan.section.shapes import Kind
from solver.scan.to_case.facts import Fact, figure_fact, segment_facts, support_facts

NOT_SEEN = Unknown(Reason.NOT_COVERED)


@given(value=st.floats(0.3, 12), error=st.floats(0, 1), trueness=st.floats(0, 0.5))
def test_the_band_as_written_holds_the_band_as_measured(value: float, error: float, trueness: float) -> None:
    written = Measure.read(figure_fact("width_mm", Figure(value, error), trueness).value)
    band = root_sum(error, trueness)

    assert written.low <= value - band + 1e-9
    assert value + band - 1e-9 <= written.high
    assert written.error <= band + 0.0016


FACTS = {
    "a width": ("width_mm", Figure(1.80012, 0.0021), 0.0, Fact("1.8 +- 0.003")),
    "with the scanner": ("width_mm", Figure(1.8, 0.003), 0.004, Fact("1.8 +- 0.005")),
    "an angle has no length": ("tilt_deg", Figure(4.0, 0.5), 0.02, Fact("4 +- 0.5")),
    "never minus nought": ("undercut_mm", Figure(-0.0001, 0.001), 0.0, Fact("0 +- 0.002")),
    "not covered": ("gap_mm", NOT_SEEN, 0.02, Fact("unknown", "not covered by the scan")),
    "no bar": ("width_mm", Figure(14.0, 0.1), 0.0, Fact("unknown", "the scan says 14 mm, which no bar width can be")),
    "error without bound": ("length_mm", Figure(9.0, float("inf")), 0.0, Fact("unknown", "not covered by the scan")),
}


@pytest.mark.parametrize(("name", "figure", "trueness", "fact"), FACTS.values(), ids=FACTS)
def test_a_figure_becomes_a_fact(name: str, figure: Measured, trueness: float, fact: Fact) -> None:
    assert fact == figure_fact(name, figure, trueness)


def summary(least: float, median: float) -> Summary:
    return Summary(Figure(least, 0.004), Figure(median, 0.001))


def segment(**other: object) -> Segment:
    figures: dict[str, object] = {
        "start_mm": (0.0, 0.0, 0.0),
        "end_mm": (9.0, 0.0, 0.0),
        "axis": (1.0, 0.0, 0.0),
        "length_mm": Figure(9.0, 0.01),
        "bisector_angle_deg": NOT_SEEN,
        "stance": None,
        "kind": Kind.ROUND,
        "width_mm": summary(1.75, 1.8),
        "height_mm": summary(1.8, 1.8),
        "head_diameter_mm": summary(1.8, 1.8),
        "undercut_left_mm": summary(0.3, 0.32),
        "undercut_right_mm": summary(0.25, 0.28),
        "gap_mm": summary(1.5, 2.0),
        "usable": None,
        "sections": (),
    }
    return Segment(**(figures | other))  # type: ignore[arg-type]


def test_a_segment_takes_the_lesser_undercut_the_least_gap_and_an_error_that_reaches_to_its_least_width() -> None:
    facts = segment_facts(segment(), 0.0)

    assert ["round", "1.8 +- 0.051", "1.8 +- 0.004", "0.28 +- 0.031", "1.5 +- 0.004"] == [
        facts[key].value for key in ("section", "width_mm", "height_mm", "undercut_mm", "gap_mm")
    ]


def test_an_undercut_seen_on_one_side_alone_is_unknown() -> None:
    facts = segment_facts(segment(undercut_left_mm=Summary(NOT_SEEN, NOT_SEEN), kind=None), 0.0)

    assert Fact("unknown", "not covered by the scan") == facts["undercut_mm"]
    assert Fact("unknown", "no known shape fits") == facts["section"]


def test_a_support_without_a_post_has_no_diameter() -> None:
    assert {} == support_facts(None, 0.0)
    assert ["tilt_deg"] == [*support_facts(Support((0, 0, 0), None, NOT_SEEN, NOT_SEEN), 0.0)]
