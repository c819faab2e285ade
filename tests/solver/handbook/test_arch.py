"""Tooth numbers, and teeth placed along an arch."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.arch_curve import BetaCurve
from solver.handbook.teeth import DEFAULT_CURVES, Arch, Side, Tooth, UnknownTooth, tooth_direction, tooth_position

NUMBERS = [10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 9)]
TEETH = st.sampled_from(NUMBERS)


@pytest.mark.parametrize(
    ("quadrant", "arch", "side"),
    [(1, "upper", "right"), (2, "upper", "left"), (3, "lower", "left"), (4, "lower", "right")],
    ids=str,
)
def test_quadrant_names_jaw_and_side(quadrant: int, arch: Arch, side: Side) -> None:
    for place in range(1, 9):
        tooth = Tooth.from_fdi(10 * quadrant + place)

        assert (arch, side, place) == (tooth.arch, tooth.side, tooth.place)


@given(TEETH)
def test_number_survives_reading(fdi: int) -> None:
    assert fdi == Tooth.from_fdi(fdi).fdi == Tooth.from_fdi(str(fdi)).fdi


@given(TEETH)
def test_mirror_changes_the_side_only(fdi: int) -> None:
    tooth = Tooth.from_fdi(fdi)
    other = tooth.mirror()

    assert tooth == other.mirror()
    assert (tooth.arch, tooth.place, tooth.width_mm) == (other.arch, other.place, other.width_mm)
    assert {"left", "right"} == {tooth.side, other.side}


UNIVERSAL = {1: 18, 8: 11, 9: 21, 11: 23, 14: 26, 16: 28, 17: 38, 24: 31, 25: 41, 32: 48, 22: 33, 27: 43}
"""Both numbers of a tooth, as charts set them side by side (ANSI/ADA 3950, from memory)."""


@pytest.mark.parametrize(("number", "fdi"), UNIVERSAL.items(), ids=str)
def test_universal_number_names_the_same_tooth(number: int, fdi: int) -> None:
    assert Tooth.from_fdi(fdi) == Tooth.from_universal(number)


def test_universal_numbers_run_round_both_jaws() -> None:
    teeth = [tooth for number in range(1, 33) if (tooth := Tooth.from_universal(number))]

    assert sorted(NUMBERS) == sorted(tooth.fdi for tooth in teeth)
    assert sorted(tooth.arc_mm for tooth in teeth[:16]) == [tooth.arc_mm for tooth in teeth[:16]]
    assert sorted((tooth.arc_mm for tooth in teeth[16:]), reverse=True) == [tooth.arc_mm for tooth in teeth[16:]]
    assert (None, None) == (Tooth.from_universal(0), Tooth.from_universal(33))


def test_names_differ() -> None:
    assert 32 == len({Tooth.from_fdi(fdi).name for fdi in NUMBERS})


@pytest.mark.parametrize(
    "number", [0, 10, 19, 30, 49, 51, 85, 133, -33, "", "3", "033", "3.3", " 33", "٣٣"], ids=repr
)
def test_refuses_other_numbers(number: int | str) -> None:
    with pytest.raises(UnknownTooth) as caught:
        Tooth.from_fdi(number)

    expected = f"{number!r} is no FDI number of a permanent tooth: 11 to 18, 21 to 28, 31 to 38 or 41 to 48"
    assert (number, expected) == (caught.value.given, str(caught.value))


@pytest.mark.parametrize("place", [tooth_position, tooth_direction])
def test_placing_refuses_milk_teeth(place: Callable[[int], object]) -> None:
    with pytest.raises(UnknownTooth):
        place(73)


@given(TEETH)
def test_left_teeth_lie_left_of_their_mirrors(fdi: int) -> None:
    """The patient's left is +x; the pair stands and runs symmetrically."""
    tooth = Tooth.from_fdi(fdi)
    x, y = tooth_position(fdi)
    dx, dy = tooth_direction(fdi)

    assert (tooth.side == "left") is (x > 0)
    assert pytest.approx((-x, y), abs=1e-9) == tooth_position(tooth.mirror().fdi)
    assert pytest.approx((dx, -dy), abs=1e-9) == tooth_direction(tooth.mirror().fdi)


@pytest.mark.parametrize("quadrant", [1, 2, 3, 4])
def test_neighbours_touch(quadrant: int) -> None:
    """Each tooth stands behind and outside the one before, nearly as far as half of both their widths."""
    teeth = [Tooth.from_fdi(10 * quadrant + place) for place in range(1, 9)]
    for one, two in pairwise(teeth):
        here, there = tooth_position(one.fdi), tooth_position(two.fdi)
        apart = (one.width_mm + two.width_mm) / 2

        assert 0.95 * apart < math.dist(here, there) <= apart + 1e-9
        assert there.y_mm < here.y_mm
        assert abs(there.x_mm) >= abs(here.x_mm)


@pytest.mark.parametrize(("fdi", "mesial_mm"), [(37, 42.5), (38, 53.0), (27, 46.5), (28, 55.5)], ids=str)
def test_last_molars_stand_straight_behind_the_curve(fdi: int, mesial_mm: float) -> None:
    """As far behind the end of the beta curve as the summed widths (worked by hand) pass its length."""
    tooth = Tooth.from_fdi(fdi)
    curve = DEFAULT_CURVES[tooth.arch]
    behind_mm = mesial_mm + tooth.width_mm / 2 - curve.length_mm / 2

    assert pytest.approx((curve.width_mm / 2, -behind_mm), abs=1e-9) == tooth_position(fdi)
    assert (0.0, -1.0) == tooth_direction(fdi)


@given(TEETH, st.floats(1.0, 2.0))
def test_wide_arch_places_teeth_on_it(fdi: int, scale: float) -> None:
    """A curve given goes before the default: with one that is long enough, every tooth lies on it."""
    curve = BetaCurve(100.0 * scale, 60.0 * scale)
    x, y = tooth_position(fdi, curve)

    assert pytest.approx(y, abs=1e-3) == float(curve.forward_mm(np.array(x)))


def test_front_teeth_run_across_the_jaw() -> None:
    dx, dy = tooth_direction(31)

    assert dx > 0.98
    assert dy < 0.0
