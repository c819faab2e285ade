"""What movement a mix has left, on the published scale, and how much of each part's own freedom."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from solver.case.schema import DEMANDS
from solver.mechanics.freedom import FreedomUse, Level, freedom_use, level_of
from solver.mechanics.placement import Placement
from tests.solver.parts import BALL, BASE, HINGE, OUT, PLAY, RESILIENT, RIGID, SETTLING_MM, model, placed

ON_BAR = (0.0, 20.0, 4.0)
SPRUNG_BALL = {**BALL, "down_mm": 0.5, "up_mm": 0.2}


def level(parts: Sequence[Placement]) -> Level:
    movement = model()
    reaches = [movement.reach(parts, demand) for demand in DEMANDS]
    return level_of(movement, parts, BASE, OUT, SETTLING_MM, reaches)


def uses(parts: Sequence[Placement]) -> tuple[FreedomUse, ...]:
    return freedom_use(model(), parts, PLAY)


@pytest.mark.parametrize(
    ("expected", "parts"),
    [
        pytest.param(Level.NONE, [placed("B", ON_BAR, **RIGID)], id="rigid sleeve"),
        pytest.param(Level.HINGE, [placed("B", ON_BAR, **HINGE)], id="clip that only hinges"),
        pytest.param(Level.HINGE_AND_APICAL, [placed("B", ON_BAR, **RESILIENT)], id="metal clip with vertical room"),
        pytest.param(
            Level.NONE,
            [placed("A", (-8, 20, 4), 60, **HINGE), placed("B", (8, 20, 4), -60, **HINGE)],
            id="clips that only hinge, axes 120 degrees apart",
        ),
        pytest.param(
            Level.HINGE,
            [placed("A", (-16, 14, 5), **BALL), placed("B", (16, 14, 5), **BALL)],
            id="two balls, no vertical room",
        ),
        pytest.param(
            Level.FOUR_DIRECTIONS,
            [placed("A", (-10, 20, 5), **SPRUNG_BALL), placed("B", (10, 20, 5), **SPRUNG_BALL)],
            id="two solitary balls with vertical room",
        ),
        pytest.param(Level.ALL, [placed("A", (0, 20, 5), **SPRUNG_BALL)], id="one ball with vertical room"),
        pytest.param(Level.ALL, [], id="nothing"),
    ],
)
def test_level(expected: Level, parts: list[Placement]) -> None:
    """Levels as recalled from Misch, Dental Implant Prosthetics; how a motion is read as one is ours."""
    assert expected is level(parts)


@pytest.mark.parametrize("number", [1, 5])
def test_there_is_no_level_one_and_no_level_five(number: int) -> None:
    with pytest.raises(ValueError, match=f"{number} is not a valid Level"):
        Level(number)


def test_a_freedom_that_nothing_blocks_is_left_whole() -> None:
    (hinge,) = [use for use in uses([placed("B", ON_BAR, **HINGE)]) if use.component == "hinge"]

    assert ("B", "deg") == (hinge.site, hinge.unit)
    assert hinge.own == pytest.approx((-20, 20))


def test_a_freedom_that_others_block_is_a_fight() -> None:
    """Beside a rigid sleeve on the same bar next to nothing is left of 20 degrees and 0.5 mm."""
    found = uses([placed("A", (-8, 20, 4), **RESILIENT), placed("B", (8, 20, 4), **RIGID)])

    assert {("A", "hinge"), ("A", "vertical")} == {(use.site, use.component) for use in found}
    assert max(use.share for use in found) < 0.2


def test_parts_that_only_play_have_no_freedom_to_use() -> None:
    assert () == uses([placed("A", ON_BAR, **RIGID)])
