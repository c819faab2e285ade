"""Where a base bears, is bitten and ends: against places of teeth on the usual arch, worked out apart."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.audit.second_opinion.outline import Outline
from solver.case.base import Base
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.handbook.point import Point
from solver.handbook.support_spread import outside_mm
from solver.handbook.teeth import tooth_direction, tooth_position
from solver.mechanics.hold import PullModel
from tests.solver.small import small_case

UNTOLD = {"left": None, "right": None, "front": None}


def base(arch: str = "lower", **denture: Any) -> Base:
    return Layout(small_case(arch=arch, denture={**UNTOLD, **denture})).base


def flat(at: Any) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def outside(tooth: int) -> tuple[float, float]:
    """5 mm from the middle of a tooth, square to the arch."""
    at, along = tooth_position(tooth), tooth_direction(tooth)
    return at.x_mm - 5 * along.y, at.y_mm + 5 * along.x


@pytest.mark.parametrize(("arch", "left", "right"), [("lower", 30, 40), ("upper", 20, 10)], ids=["lower", "upper"])
def test_the_border_runs_5_mm_outside_the_teeth_and_ends_10_mm_behind_the_second_molar(
    arch: str, left: int, right: int
) -> None:
    """The second molars stand on the straight line that carries the usual arch on, so behind is along y."""
    found = base(arch)
    molar_x, molar_y = tooth_position(left + 7)
    front_y = max(y for _, y in map(flat, found.border))

    assert (molar_x + 5, molar_y - 10) == pytest.approx(flat(found.border[-1]), abs=1e-9)
    assert (-molar_x - 5, molar_y - 10) == pytest.approx(flat(found.border[0]), abs=1e-9)
    assert [outside(right + n) for n in (6, 4, 2)] == [pytest.approx(flat(at)) for at in found.border[1:4]]
    assert [outside(left + n) for n in (2, 4, 6)] == [pytest.approx(flat(at)) for at in found.border[5:8]]
    assert (0, front_y) == pytest.approx(flat(found.border[4]), abs=1e-9)
    assert (molar_x, molar_y - 10) == pytest.approx(flat(found.heel_left), abs=1e-9)


def test_a_side_is_bitten_between_second_premolar_and_first_molar() -> None:
    found = base()
    premolar, molar = tooth_position(35), tooth_position(36)

    assert premolar.y_mm > found.bitten_left[1] > molar.y_mm
    assert 0.5 > outside_mm(Point(*flat(found.bitten_left)), [premolar, molar])
    assert flat(found.bitten_left * [-1, 1, 1]) == pytest.approx(flat(found.bitten_right))


def test_a_short_row_of_teeth_is_bitten_on_its_last_and_the_base_still_ends_behind() -> None:
    short, usual = base(left=34), base()

    assert tooth_position(34) == pytest.approx(flat(short.bitten_left))
    assert flat(usual.heel_left) == flat(short.heel_left)
    assert flat(usual.bitten_right) == flat(short.bitten_right)


def test_a_base_that_ends_early_has_its_last_tooth_and_its_bite_on_it() -> None:
    found = base(heel_right=45)

    assert tooth_position(45) == pytest.approx(flat(found.heel_right))
    assert outside(45) == pytest.approx(flat(found.border[0]))
    assert flat(found.heel_right) == flat(found.right) == flat(found.bitten_right)
    assert 8 == len(found.border)  # none at the first molar
    assert tooth_position(36) == pytest.approx(flat(found.left))


def test_a_base_moves_along_with_the_places_that_are_measured() -> None:
    """First molar 2 mm outwards: what is behind goes with it, the front stays, the premolar goes part of the way."""
    usual, moved = base(), base(left=[27.75896, 4.31714])
    by = [float(after[0] - before[0]) for before, after in zip(usual.border, moved.border, strict=True)]

    assert [0, 0, 0, 0, 0] == pytest.approx(by[:5], abs=1e-4)
    assert [2 * 7.75 / 37, 2 * 21 / 37, 2, 2] == pytest.approx(by[5:], abs=1e-4)  # arcs: widths of the teeth added up


@pytest.mark.parametrize("teeth", [(33, 43), (44, 34), (42, 32), (46, 36), (31, 34)])
def test_corners_at_every_tooth_add_no_more_than_two_hundredths_to_a_share_of_hold(teeth: tuple[int, int]) -> None:
    """10 N at two teeth; a corner at each tooth from second molar to first incisor beside the nine."""
    nine = [Point(*flat(at)) for at in base().border]
    every = nine + [Point(*outside(ten + place)) for ten in (30, 40) for place in range(1, 8)]
    at = [tooth_position(tooth) for tooth in teeth]

    for pulled in (36, 46):
        few, many = (PullModel(at, border).largest_pull([10, 10], tooth_position(pulled)) for border in (nine, every))
        assert 0 <= (many.hold_n - few.hold_n) / 20 < 0.02


def test_what_is_told_is_taken() -> None:
    told = base(bitten_left=37, bitten_right=[-20, 10], heel_left=[25, -12], heel_right=[-24, -9])

    assert tooth_position(37) == pytest.approx(flat(told.bitten_left))
    assert (-20, 10) == flat(told.bitten_right)
    assert (25, -12) == flat(told.heel_left)
    assert (30, -12) == pytest.approx(flat(told.border[-1]))
    assert (-29, -9) == pytest.approx(flat(told.border[0]))


spots = st.tuples(st.floats(18, 30), st.floats(-4, 12))


@given(left=spots, right=spots, front=st.tuples(st.floats(-3, 3), st.floats(24, 34)))
def test_every_press_and_pull_lies_within_the_border(
    left: tuple[float, float], right: tuple[float, float], front: tuple[float, float]
) -> None:
    found = base(left=left, right=(-right[0], right[1]), front=front)
    border = [Point(*flat(at)) for at in found.border]

    for at in (found.left, found.right, found.front, found.bitten_left, found.bitten_right):
        assert 1e-9 > outside_mm(Point(*flat(at)), border)


teeth = st.one_of(st.none(), st.sampled_from([34, 35, 36, 37]), spots)


@given(left=teeth, right=teeth, heel=st.one_of(st.none(), st.sampled_from([35, 36, 37, (26.0, -11.0)])))
def test_the_second_opinion_finds_the_same_outline(left: Any, right: Any, heel: Any) -> None:
    other = right + 10 if isinstance(right, int) else right and (-right[0], right[1])
    case: Case = small_case(denture={**UNTOLD, "left": left, "right": other, "heel_left": heel})
    ours, theirs = Layout(case).base, Outline(case)

    assert sorted(map(flat, theirs.border)) == pytest.approx(np.array(sorted(map(flat, ours.border))))
    assert {side: flat(getattr(ours, side)) for side in ("left", "right")} == {
        side: pytest.approx(flat(at)) for side, at in theirs.last.items()
    }
    assert flat(ours.heel_left) == pytest.approx(flat(theirs.heels["left"]))
    assert flat(ours.heel_right) == pytest.approx(flat(theirs.heels["right"]))
