"""Sections against numerical integration, limit cases, and what holes take away."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from solver.handbook.checks import OutOfDomain
from solver.handbook.sections import NothingLeft, Section, egg, ellipse, keyhole, rectangle, round_bar

size = st.floats(0.5, 6.0)
share = st.floats(0.05, 0.95)
Edges = Callable[[float], tuple[float, float]]


def _integrated(edges: Edges, half_mm: float, hole_mm: float, *breaks: float) -> tuple[float, float, float]:
    """Area, centroid and second moment, from the lower and upper edge of each column outside the hole."""
    inner = hole_mm / 2.0

    def moment(power: int) -> float:
        def column(x: float) -> float:
            low, high = edges(x)
            return (high ** (power + 1) - low ** (power + 1)) / (power + 1)

        stops = sorted({inner, half_mm, *(b for b in breaks if inner < b < half_mm)})
        return 2.0 * sum(float(quad(column, a, b, epsabs=1e-12)[0]) for a, b in pairwise(stops))

    area, first, second = (moment(power) for power in range(3))
    return area, first / area, second - first**2 / area


def _properties(section: Section) -> tuple[float, float, float]:
    return section.area_mm2, section.centroid_mm, section.second_moment_mm4


@given(width=size, top=size, bottom=size, lost=share)
def test_drilled_egg_by_integration(width: float, top: float, bottom: float, lost: float) -> None:
    half, hole = width / 2.0, width * lost

    def edges(x: float) -> tuple[float, float]:
        rise = math.sqrt(max(0.0, 1.0 - (x / half) ** 2))
        return bottom * (1.0 - rise), bottom + top * rise

    section = egg(width, top, bottom, hole_mm=hole)

    assert _integrated(edges, half, hole) == pytest.approx(_properties(section), rel=1e-5)
    assert edges(hole / 2.0) == pytest.approx((section.bottom_mm, section.top_mm))


@given(head=size, neck=share, extra=st.floats(0.0, 4.0), lost=st.floats(0.0, 0.95))
def test_drilled_keyhole_by_integration(head: float, neck: float, extra: float, lost: float) -> None:
    radius, neck_mm, hole, height = head / 2.0, head * neck, head * lost, head + extra
    centre = height - radius

    def edges(x: float) -> tuple[float, float]:
        reach = math.sqrt(max(0.0, radius**2 - x**2))
        return (0.0 if x < neck_mm / 2.0 else centre - reach), centre + reach

    section = keyhole(head, neck_mm, height, hole_mm=hole)

    assert _integrated(edges, radius, hole, neck_mm / 2.0) == pytest.approx(_properties(section), rel=1e-5)


@given(d=size)
def test_handbook_formulas(d: float) -> None:
    """pi d^2/4, pi d^4/64, pi d^3/32; b h^3/12, b h^2/6; pi w h^3/64 (Roark, Table A.1; memory)."""
    circle, block, oval = round_bar(d), rectangle(d, 2 * d), ellipse(d, 2 * d)

    assert (math.pi * d**2 / 4, d / 2, math.pi * d**4 / 64) == pytest.approx(_properties(circle))
    assert math.pi * d**3 / 32 == pytest.approx(circle.modulus_mm3)
    assert (2 * d**2, d, d * (2 * d) ** 3 / 12) == pytest.approx(_properties(block))
    assert d * (2 * d) ** 2 / 6 == pytest.approx(block.modulus_mm3)
    assert math.pi * d * (2 * d) ** 3 / 64 == pytest.approx(oval.second_moment_mm4)


@given(head=size)
def test_keyhole_without_web_is_round(head: float) -> None:
    """Where the web shrinks to nothing only the head is left, at its height."""
    assert _properties(round_bar(head)) == pytest.approx(_properties(keyhole(head, 1e-9, head)), rel=1e-6)


@given(head=size, neck=share, lost=share)
def test_hole_wider_than_the_neck_leaves_the_sides_of_the_head(head: float, neck: float, lost: float) -> None:
    hole = head * (neck + (1.0 - neck) * lost)

    drilled, ring = keyhole(head, head * neck, 2 * head, hole_mm=hole), round_bar(head, hole_mm=hole)

    assert ring.second_moment_mm4 == pytest.approx(drilled.second_moment_mm4, rel=1e-6)
    assert ring.modulus_mm3 == pytest.approx(drilled.modulus_mm3, rel=1e-6)


@given(width=size, height=size, lost=share)
def test_hole_through_a_rectangle_takes_width_only(width: float, height: float, lost: float) -> None:
    drilled = rectangle(width, height, hole_mm=width * lost)

    assert _properties(rectangle(width * (1.0 - lost), height)) == pytest.approx(_properties(drilled))


@given(width=size, top=size, bottom=size, less=share, more=share)
def test_wider_hole_leaves_less(width: float, top: float, bottom: float, less: float, more: float) -> None:
    small, large = sorted((less, more))
    one, two = (egg(width, top, bottom, hole_mm=width * lost) for lost in (small, large))

    assert two.area_mm2 <= one.area_mm2 + 1e-12
    assert two.second_moment_mm4 <= one.second_moment_mm4 + 1e-12


@given(width=size, top=size, bottom=size)
def test_egg_upside_down_is_as_stiff(width: float, top: float, bottom: float) -> None:
    up, down = egg(width, top, bottom), egg(width, bottom, top)

    assert up.second_moment_mm4 == pytest.approx(down.second_moment_mm4)
    assert up.modulus_mm3 == pytest.approx(down.modulus_mm3)


@pytest.mark.parametrize("hole_mm", [2.0, 3.0])
@pytest.mark.parametrize(
    "build",
    [
        lambda hole: round_bar(2.0, hole_mm=hole),
        lambda hole: rectangle(2.0, 3.0, hole_mm=hole),
        lambda hole: egg(2.0, 1.0, 2.0, hole_mm=hole),
        lambda hole: keyhole(2.0, 1.0, 4.0, hole_mm=hole),
    ],
    ids=["round", "rectangle", "egg", "keyhole"],
)
def test_hole_as_wide_as_the_bar_is_refused(build: Callable[[float], Section], hole_mm: float) -> None:
    with pytest.raises(NothingLeft) as caught:
        build(hole_mm)
    assert (2.0, hole_mm) == (caught.value.width_mm, caught.value.hole_mm)
    assert "leaves nothing of a bar 2 mm wide" in str(caught.value)


@pytest.mark.parametrize(
    ("build", "name"),
    [
        (lambda: round_bar(0.0), "width_mm"),
        (lambda: rectangle(1.0, -1.0), "height_mm"),
        (lambda: egg(2.0, math.nan, 1.0), "top_mm"),
        (lambda: keyhole(2.0, 3.0, 4.0), "neck_mm"),
        (lambda: keyhole(2.0, 1.0, 1.5), "height_mm"),
        (lambda: rectangle(2.0, 2.0, hole_mm=-0.1), "hole_mm"),
    ],
)
def test_sizes_without_meaning_are_refused_by_name(build: Callable[[], Section], name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        build()
    assert name == caught.value.name
