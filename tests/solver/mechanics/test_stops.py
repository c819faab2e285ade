"""What stops a demand is named with the reach that a millimetre more would win, however small that is."""

from __future__ import annotations

import pytest

from tests.solver.parts import BALL, PLAY, model, placed


@pytest.mark.parametrize("settling_mm", [0.3, 1.0, 2.0])
def test_a_ball_among_the_points_of_the_base_stops_it_from_sinking(settling_mm: float) -> None:
    """It turns about the ball as it likes, so the ball sinks by the reach times the settling: 1 / settling per mm."""
    answer = model(settling_mm).reach([placed("A", (0.0, 10.0, 4.0), **BALL)], "whole")

    assert pytest.approx(PLAY.mm / settling_mm, abs=1e-6) == answer.reach
    (stop,) = answer.stops
    assert ("A", "vertical", -1) == (stop.site, stop.component, stop.sign)
    assert pytest.approx(1 / settling_mm, abs=1e-6) == stop.gain
