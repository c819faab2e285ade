"""Spread, lever arms, and rules of thumb that remark but never forbid."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.handbook.point import Point
from solver.handbook.sourced import Known, Place
from solver.handbook.support_spread import (
    CANTILEVER_RULES,
    Jaw,
    TooFewSupports,
    anteroposterior_spread_mm,
    cantilever_notes,
    centres_for_bar_mm,
    centres_for_clip_mm,
    lever_arm_mm,
)

FIVE = [Point(20, -12), Point(-20, -12), Point(10, -4), Point(-10, -4), Point(0, 2)]


def test_odd_number_counts_from_the_single_foremost() -> None:
    assert 14.0 + 2.0 == pytest.approx(anteroposterior_spread_mm(FIVE, 4.0))


def test_supports_on_a_line_across_have_half_a_diameter_of_spread() -> None:
    assert 2.0 == pytest.approx(anteroposterior_spread_mm([Point(x, 0) for x in (-15, -5, 5, 15)], 4.0))


@given(degrees=st.floats(-20, 20), dx=st.floats(-30, 30), dy=st.floats(-30, 30))
def test_spread_does_not_depend_on_how_the_cast_lies(degrees: float, dx: float, dy: float) -> None:
    turn = math.radians(degrees)
    turned = [
        Point(
            p.x_mm * math.cos(turn) - p.y_mm * math.sin(turn) + dx,
            p.x_mm * math.sin(turn) + p.y_mm * math.cos(turn) + dy,
        )
        for p in (Point(20, -30), Point(-20, -30), Point(0, 0))
    ]

    assert 32.0 == pytest.approx(anteroposterior_spread_mm(turned, 4.0))


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_have_no_spread(count: int) -> None:
    with pytest.raises(TooFewSupports) as caught:
        anteroposterior_spread_mm(FIVE[:count], 4.0)
    assert (count, 3) == (caught.value.have, caught.value.want)
    assert f"{count} supports given, 3 needed" == str(caught.value)


@pytest.mark.parametrize(
    ("point", "arm"), [(Point(5, 7), 7.0), (Point(50, -3), 3.0), (Point(4, 0), 0.0)], ids=["above", "beyond", "on it"]
)
def test_lever_arm_is_the_distance_from_the_line(point: Point, arm: float) -> None:
    assert arm == pytest.approx(lever_arm_mm(point, Point(0, 0), Point(10, 0)))


def test_lever_arm_needs_two_places() -> None:
    with pytest.raises(OutOfDomain):
        lever_arm_mm(Point(1, 1), Point(0, 0), Point(0, 0))


@pytest.mark.parametrize(
    ("length_mm", "places"),
    [
        (7.0, {"spread-multiple": Place.BELOW, "bar-four-implants": Place.BELOW, "fixed-lower": Place.BELOW}),
        (13.0, {"spread-multiple": Place.BELOW, "bar-four-implants": Place.ABOVE, "fixed-lower": Place.BELOW}),
        (16.0, {"spread-multiple": Place.INSIDE, "bar-four-implants": Place.ABOVE, "fixed-lower": Place.INSIDE}),
        (26.0, {"spread-multiple": Place.ABOVE, "bar-four-implants": Place.ABOVE, "fixed-lower": Place.ABOVE}),
    ],
)
def test_every_rule_of_the_jaw_has_its_say(length_mm: float, places: dict[str, Place]) -> None:
    """A spread of 10 mm: the rules disagree, and each is reported."""
    notes = cantilever_notes(length_mm, 10.0, Jaw.LOWER)

    assert places == {note.rule.code: note.place for note in notes}


def test_upper_jaw_hears_the_upper_rule() -> None:
    codes = [note.rule.code for note in cantilever_notes(9.0, 10.0, Jaw.UPPER)]

    assert ["spread-multiple", "bar-four-implants", "fixed-upper"] == codes


def test_spread_rule_says_that_it_was_never_validated() -> None:
    rule = next(rule for rule in CANTILEVER_RULES if rule.of_spread)

    assert Known.SECOND_HAND is rule.limit.known
    assert "never validated prospectively" in rule.limit.note


@given(bar=st.floats(1, 40), diameter=st.floats(2, 6))
def test_room_grows_with_the_implant(bar: float, diameter: float) -> None:
    assert bar == pytest.approx(centres_for_bar_mm(bar, diameter) - diameter)
    assert bar + 4.0 == pytest.approx(centres_for_clip_mm(bar, diameter) - diameter)
