"""A measured bar under the names of a case: which supports, segments and ends it has and what they are called."""

from __future__ import annotations

import pytest

from catalogue.yaml_text import parse_yaml
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.scan.errors import ForwardsNotShown, NothingCarries, NotTheSameBar
from solver.scan.measure import BarScan
from solver.scan.section.figure import Figure
from solver.scan.to_case.as_case import Found, as_case
from solver.scan.to_case.points import NO_HINTS, Hints, in_mm, read_points
from tests.solver.scan import scanned as s

RIGHT, FRONT, LEFT = (-16.0, 17.0, 0.0), (0.0, 25.0, 0.0), (16.0, 17.0, 0.0)
BENT = s.bar([s.segment(FRONT, LEFT), s.segment(RIGHT, FRONT)], [s.support(p) for p in (LEFT, FRONT, RIGHT)])
STRAIGHT = s.bar([s.segment(RIGHT, LEFT)], [s.support(RIGHT), s.support(LEFT)])
CASE = """\
case: invented
arch: lower
supports: {L: {at_mm: [15, 16, 1]}, M: {at_mm: [-1, 24, 1]}, R: {at_mm: [-17, 16, 1]}}
segments: {one: {between: [L, M]}, two: {between: [M, R]}}
ends: {far: {on: R, length_mm: 8}}
money: {currency: EUR, bench_per_hour: 0, chair_per_hour: 0}
"""


def hints(text: str) -> Hints:
    return in_mm(read_points(parse_yaml(text, "points.yaml"), "lower"), 1.0)


def case() -> Case:
    return read_case(parse_yaml(CASE, "case.yaml"))


def found(bar: BarScan, points: Hints = NO_HINTS, into: Case | None = None) -> Found:
    return as_case(bar, "lower", points, into, 0.0)


def test_names_run_from_the_patients_right() -> None:
    got = found(BENT)

    assert ["S1", "S2", "S3"] == [*got.supports]
    assert {"A": ("S1", "S2"), "B": ("S2", "S3")} == {
        name: facts["between"].value for name, facts in got.segments.items()
    }
    assert {0: "B", 1: "A"} == got.titles
    assert any("is assumed" in note for note in got.notes)


def test_the_case_gives_the_names_and_the_place_in_the_arch() -> None:
    got = found(BENT, into=case())

    assert {"R": (-17.0, 16.0, 1.0), "M": (-1.0, 24.0, 1.0), "L": (15.0, 16.0, 1.0)} == {
        name: facts["at_mm"].value for name, facts in got.supports.items()
    }
    assert {"one", "two"} == {*got.segments}
    assert ("far was not found in the scan and stays as it is",) == got.notes


def test_teeth_in_the_points_give_the_place_and_the_front_of_a_straight_bar() -> None:
    points = "supports: {a: {at: [-16, 17, 0], tooth: 33}, b: {at: [16, 17, 0], tooth: 43}}"
    got = found(STRAIGHT, hints(points))

    assert ["b", "a"] == [*got.supports]  # the scan lies the other way round than the patient
    assert ["at_mm", "tilt_deg", "diameter_mm"] == [*got.supports["a"]]
    xs = [facts["at_mm"].value for facts in got.supports.values()]
    assert [(-16.0, 0.0), (16.0, 0.0)] == [(x, z) for x, _, z in xs]  # type: ignore[misc, str-unpack]


def test_a_straight_bar_needs_to_be_told_the_front() -> None:
    with pytest.raises(ForwardsNotShown):
        found(STRAIGHT)

    assert ["S1", "S2"] == [*found(STRAIGHT, hints("forwards: [0, 1, 0]")).supports]


def test_another_number_of_supports_is_another_bar_unless_they_are_named() -> None:
    with pytest.raises(NotTheSameBar):
        found(STRAIGHT, hints("forwards: [0, 1, 0]"), case())

    named = found(STRAIGHT, hints("supports: {R: {at: [-16, 17, 0]}, L: {at: [16, 17, 0]}}"), case())
    assert ["R", "L"] == [*named.supports]


def test_a_bar_without_posts_is_carried_where_a_person_says_so() -> None:
    bare = s.bar([s.segment(RIGHT, LEFT)], [], [s.end(RIGHT, 0), s.end(LEFT, 0)])
    with pytest.raises(NothingCarries):
        found(bare)

    got = found(bare, hints("forwards: [0, 1, 0]\nsupports: {x: {at: [-15, 17, 0]}, y: {at: [15, 18, 0]}}"))

    assert ({"x", "y"}, ["A"], {}) == ({*got.supports}, [*got.segments], got.ends)
    assert ["at_mm"] == [*got.supports["x"]]


def test_a_stretch_on_one_support_is_an_end_at_the_level_of_the_bar() -> None:
    tip, above = (-22.0, 9.0, 0.0), (-22.0, 9.0, 2.5)
    bar = s.bar([*BENT.segments, s.segment(tip, RIGHT)], BENT.supports, [s.end(tip, 2, ball=s.ball(above))])

    got = found(bar, into=case())

    assert {"one", "two"} == {*got.segments}
    assert ("R", 10.0, (-23.0, 8.0, 1.0)) == tuple(got.ends["far"][key].value for key in ("on", "length_mm", "at_mm"))
    assert "worn on 20 % of the retentive zone" == got.ends["far"]["ball_mm"].remark
    assert "far" == got.titles[2]


@pytest.mark.parametrize(("beyond", "names"), [(2.0, []), (7.0, ["E1"])], ids=["a stub", "an end"])
def test_a_bar_beyond_its_post_is_an_end_where_something_fits_on_it(beyond: float, names: list[str]) -> None:
    tip = (LEFT[0] + beyond, LEFT[1], 0.0)
    bar = s.bar(BENT.segments, BENT.supports, [s.end(tip, 0, Figure(beyond, 0.01))])

    assert names == [*found(bar).ends]


def test_a_stretch_on_nothing_is_left_out_and_said() -> None:
    debris = s.segment((0.0, 0.0, 9.0), (9.0, 0.0, 9.0))
    got = found(s.bar([*BENT.segments, debris], BENT.supports))

    assert ["A", "B"] == [*got.segments]
    assert "1 stretch(es) of bar that stand on nothing were left out" in got.notes
