"""Arch curves: lengths against integrals, tangents against differences, symmetry, and what lies past the ends."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from solver.handbook.arch_curve import ArchCurve, BetaCurve
from solver.handbook.checks import OutOfDomain
from solver.handbook.point import Point
from tests.published.formulas.arch_forms import Catenary, Parabola, Sextic

Make: TypeAlias = Callable[[float, float], ArchCurve]

WIDTHS, DEPTHS = st.floats(30, 80), st.floats(15, 60)
SHARES = st.floats(-1.0, 1.0)
MAKERS = st.sampled_from([BetaCurve, Parabola, Catenary, lambda w, d: Sextic(w, d, w / 4, d / 6)])
CURVES = st.builds(lambda make, width, depth: make(width, depth), MAKERS, WIDTHS, DEPTHS)


def y_of(curve: ArchCurve, x_mm: float) -> float:
    return float(curve.forward_mm(np.array(x_mm)))


@given(WIDTHS, DEPTHS)
def test_parabola_has_the_length_of_its_closed_formula(w: float, d: float) -> None:
    root = math.sqrt(w**2 + 16 * d**2)

    assert (
        pytest.approx(root / 2 + w**2 / (8 * d) * math.log((4 * d + root) / w), abs=1e-4) == Parabola(w, d).length_mm
    )


@given(st.floats(1e-3, 1e3), st.floats(1e-3, 1e3))
def test_catenary_meets_its_ends(w: float, d: float) -> None:
    """And has the length 2 a sinh(W / 2a); also where it is far flatter or deeper than any arch."""
    curve = Catenary(w, d)
    a = curve.parameter_mm

    assert pytest.approx(0.0, abs=1e-6 * d) == y_of(curve, w / 2)
    assert pytest.approx(2 * a * math.sinh(w / (2 * a)), rel=1e-4) == curve.length_mm


@given(WIDTHS, DEPTHS)
def test_beta_has_the_length_of_its_integral(w: float, d: float) -> None:
    """The speed in an angle p with x = W/2 sin p: y = 3.0314 D (cos p / 2)^1.6, integrated by another library."""

    def speed(p: float) -> float:
        dy = 1.6 * 3.0314 * d * (math.cos(p) / 2) ** 0.6 * math.sin(p) / 2
        return math.hypot(w / 2 * math.cos(p), dy)

    half, _ = quad(speed, 0.0, math.pi / 2)

    assert pytest.approx(2 * half, abs=1e-3) == BetaCurve(w, d).length_mm


@given(CURVES)
def test_curve_has_its_width_and_depth(curve: ArchCurve) -> None:
    assert pytest.approx(curve.depth_mm, rel=2e-5) == y_of(curve, 0.0)
    assert pytest.approx((0.0, 0.0), abs=1e-9) == (y_of(curve, curve.width_mm / 2), y_of(curve, -curve.width_mm / 2))
    assert pytest.approx((curve.width_mm / 2, 0.0), abs=1e-9) == curve.at(curve.length_mm / 2)


@given(WIDTHS, DEPTHS)
def test_sextic_meets_its_canines(w: float, d: float) -> None:
    assert pytest.approx(d - 4.0, abs=1e-9) == y_of(Sextic(w, d, 11.0, 4.0), 11.0)


@given(CURVES, st.floats(0.0, 2.0))
def test_arch_is_the_same_on_both_sides(curve: ArchCurve, share: float) -> None:
    arc = share * curve.length_mm / 2
    left, right = curve.at(arc), curve.at(-arc)
    to_left, to_right = curve.direction(arc), curve.direction(-arc)

    assert pytest.approx(right, abs=1e-9) == (-left.x_mm, left.y_mm)
    assert pytest.approx(to_right, abs=1e-9) == (to_left.x, -to_left.y)


@given(CURVES, SHARES)
def test_direction_is_that_of_near_points(curve: ArchCurve, share: float) -> None:
    arc = share * 0.45 * curve.length_mm
    before, after = curve.at(arc - 0.05), curve.at(arc + 0.05)

    assert pytest.approx(curve.direction(arc), abs=5e-3) == (
        (after.x_mm - before.x_mm) / 0.1,
        (after.y_mm - before.y_mm) / 0.1,
    )


@given(CURVES, SHARES, SHARES)
def test_way_along_the_arch_is_no_shorter_than_the_straight_line(curve: ArchCurve, one: float, two: float) -> None:
    arcs = one * curve.length_mm, two * curve.length_mm

    assert math.dist(curve.at(arcs[0]), curve.at(arcs[1])) <= abs(arcs[0] - arcs[1]) + 1e-9


@given(CURVES, st.floats(0.0, 30.0))
def test_arch_runs_on_straight_past_its_ends(curve: ArchCurve, past_mm: float) -> None:
    end, ahead = curve.at(curve.length_mm / 2), curve.direction(curve.length_mm / 2)

    expected = Point(end.x_mm + past_mm * ahead.x, end.y_mm + past_mm * ahead.y)

    assert pytest.approx(expected, abs=1e-9) == curve.at(curve.length_mm / 2 + past_mm)
    assert pytest.approx(ahead, abs=1e-9) == curve.direction(curve.length_mm / 2 + past_mm)


def test_beta_runs_straight_back_at_its_end() -> None:
    assert (0.0, -1.0) == BetaCurve(54.0, 28.0).direction(99.0)


@pytest.mark.parametrize("make", [BetaCurve, Parabola, Catenary])
@pytest.mark.parametrize(("width", "depth", "name"), [(0.0, 28.0, "width_mm"), (54.0, math.nan, "depth_mm")], ids=str)
def test_refuses_an_arch_without_extent(make: Make, width: float, depth: float, name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        make(width, depth)

    assert name == caught.value.name


def test_sextic_refuses_canines_beside_the_molars() -> None:
    with pytest.raises(OutOfDomain) as caught:
        Sextic(54.0, 37.0, 27.0, 5.5)

    assert "canine_x_mm: must be less than half the width, got 27" == str(caught.value)


def test_refuses_a_length_that_is_not_finite() -> None:
    with pytest.raises(OutOfDomain) as caught:
        BetaCurve(54.0, 28.0).at(math.nan)

    assert "arc_mm" == caught.value.name
