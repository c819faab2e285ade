"""The acrylic strip: its formulas undo each other and follow the powers of thickness."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.beams import bending, simple_span
from solver.handbook.checks import OutOfDomain
from solver.handbook.sections import rectangle
from tests.published.formulas.acrylic import (
    FLEXURAL_STRENGTH_MPA,
    base_is_thick_enough,
    breaking_force_n,
    least_thickness_mm,
    sag_mm,
    stress_mpa,
)

size = st.floats(0.5, 60.0)
newton = st.floats(1.0, 500.0)


@given(force=newton, span=size, width=size, thickness=size)
def test_strip_is_a_simple_beam(force: float, span: float, width: float, thickness: float) -> None:
    """The same by the beam tables: P L / 4 over b h^2 / 6, and P L^3 / (48 E I)."""
    bent = bending(force, simple_span(span), rectangle(width, thickness), 2000.0)

    assert bent.stress_mpa == pytest.approx(stress_mpa(force, span, width, thickness))
    assert bent.sag_mm == pytest.approx(sag_mm(force, span, width, thickness, 2000.0))


@given(force=newton, strength=newton, span=size, width=size)
def test_least_thickness_just_bears_the_force(force: float, strength: float, span: float, width: float) -> None:
    thickness = least_thickness_mm(force, strength, span, width)

    assert force == pytest.approx(breaking_force_n(strength, span, width, thickness))


def test_double_thickness_is_four_times_as_strong_and_eight_times_as_stiff() -> None:
    assert 4.0 == pytest.approx(breaking_force_n(65, 20, 10, 4) / breaking_force_n(65, 20, 10, 2))
    assert 8.0 == pytest.approx(sag_mm(50, 20, 10, 2, 2000) / sag_mm(50, 20, 10, 4, 2000))


def test_self_cured_is_the_weaker() -> None:
    assert FLEXURAL_STRENGTH_MPA["self-cured"].middle < FLEXURAL_STRENGTH_MPA["heat-cured"].middle


def test_no_thickness_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="thickness_mm"):
        base_is_thick_enough(0.0, reinforced=False)
