"""What a clip must give against the displacement of its points under the turn."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.mechanics.screws import displacement_at, screw_axis
from tests.published.formulas.clip_mismatch import clip_mismatch

TURNS, ANGLES = st.floats(-0.2, 0.2), st.floats(-math.pi, math.pi)


@given(TURNS, st.floats(0, 10), ANGLES, st.floats(0, 20))
def test_mismatch_is_the_displacement(turn_rad: float, offset_mm: float, askew_rad: float, length_mm: float) -> None:
    """Turn about the x axis; the clip lies off it and points askew. Its end moves by more than its centre does."""
    twist = turn_rad * screw_axis((0, 0, 0), (1, 0, 0))
    centre = np.array([7.0, offset_mm, 0.0])
    end = centre + length_mm / 2 * np.array([math.cos(askew_rad), math.sin(askew_rad), 0.0])
    at_centre = displacement_at(twist, centre)
    at_end = displacement_at(twist, end) - at_centre

    gives = clip_mismatch(turn_rad=turn_rad, offset_mm=offset_mm, askew_rad=askew_rad, length_mm=length_mm)

    assert pytest.approx((np.linalg.norm(at_centre), np.linalg.norm(at_end)), abs=1e-12) == gives


@pytest.mark.parametrize("name", ["turn_rad", "offset_mm", "askew_rad", "length_mm"])
def test_refuses_what_is_not_finite(name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        clip_mismatch(**{"turn_rad": 0.1, "offset_mm": 1.0, "askew_rad": 0.1, "length_mm": 5.0, name: math.nan})

    assert name == caught.value.name
