"""What attachments do to the movement of a denture, against textbooks; each row says how it is known."""

from __future__ import annotations

import numpy as np
import pytest

from solver.cautions import Hazard, cautions
from solver.freedom import Level
from solver.mobility import hinge, mobility
from tests.solver.parts import BASE, HINGE, OUT, SETTLING_MM, model, placed
from tests.solver.small import small_case, stock


def both_saddles_mm(*along_deg: float) -> float:
    """How deep the saddle ends can sink together when clips that only hinge stand on a bar each."""
    clips = [placed(f"B{i}", (16 * i - 8, 20, 4), deg, **HINGE) for i, deg in enumerate(along_deg)]
    sinking = [np.concatenate([-np.cross(p, OUT) / 10, -OUT]) for p in (BASE.left, BASE.right)]
    return model().range_of(clips, np.mean(sinking, axis=0))[1]


def test_clips_on_one_axis_keep_the_hinge_and_40_degrees_apart_lose_it() -> None:
    """Clips must share one axis (Misch, memory); exact hinges out of line lock (textbooks, memory)."""
    assert SETTLING_MM == pytest.approx(both_saddles_mm(0, 0))
    assert both_saddles_mm(20, -20) < SETTLING_MM / 2
    here, there = [-8, 20, 4], [8, 20, 4]
    exact = {
        deg: [hinge(p, [1, s * np.tan(np.radians(deg)), 0]) for p, s in ((here, 1), (there, -1))] for deg in (0, 20)
    }
    assert {0: 1, 20: 0} == {deg: mobility(joints).dof for deg, joints in exact.items()}


@pytest.mark.parametrize(
    ("left", "right", "along_deg"),
    [(True, True, 0), (True, False, 25), (False, True, -25)],
    ids=["square to the bisector", "diagonal", "the other diagonal"],
)
def test_a_diagonal_bar_blocks_the_hinge_on_one_side(left: bool, right: bool, along_deg: float) -> None:
    """Shafie and Obeid p. 18 (read): only a bar square to the bisector leaves the anterior hinge free."""
    clip = [placed("B", (0, 20, 4), along_deg, **HINGE)]
    reached = {side: model().reach(clip, side).reach for side in ("left", "right")}

    assert {"left": left, "right": right} == {side: reach > 0.999 for side, reach in reached.items()}


def test_levels_of_movement() -> None:
    """Prosthesis movement has 0, 2, 3, 4 and 6 (Misch, memory); there is no 1 and no 5."""
    assert [0, 2, 3, 4, 6] == sorted(Level)
    for number in (1, 5):
        with pytest.raises(ValueError, match="not a valid Level"):
            Level(number)


@pytest.mark.parametrize(("few", "count"), [(True, 3), (False, 4)])
def test_fewer_than_four_in_the_upper_jaw_are_a_caution(few: bool, count: int) -> None:
    """Kern et al., Clin Oral Implants Res 2016;27:174-195: losses 7.22 below four, 2.31 with four (read)."""
    supports = {f"S{i}": {"at_mm": [8 * i, 10, 0]} for i in range(count)}
    case = small_case(
        arch="upper",
        denture={"left": None, "right": None, "front": None},
        supports={"R": None, "L": None, **supports},
        segments={"B": None},
        ends={"E": None},
    )

    assert few is (Hazard.FEW_SUPPORTS in {caution.hazard for caution in cautions(case, stock(), [])})
