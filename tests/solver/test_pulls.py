"""Where a denture is pulled, where it bears and holds, and how much it takes, against levers reckoned by hand."""

from __future__ import annotations

import pytest

from solver.hold import PLAIN_LIFT, LiftField
from solver.point import Point
from solver.pulls import contact_points, hold_against, holding_points, lift_worth, pull_points
from tests.solver.small import band, part, small_problem, stock

CLIP = part("clip", retention_n=band(5, 8), length_mm=4, spacing_mm=2, most=2)
LEANING = small_problem(
    stock(CLIP),
    denture={"left": [24, 3], "right": [-21, 0], "front": [3, 27], "heel_left": [26, -14], "heel_right": [-24, -18]},
)
EVEN = small_problem(
    stock(CLIP, part("ball", "ball", "end", retention_n=band(3, 9))),
    denture={"heel_left": [26, -10], "heel_right": [-26, -10]},
)
ONE, TWO, BALL = (EVEN.option_of[key] for key in ("B=clip", "B=clip x2", "E=ball"))


def test_pulls_are_amid_and_at_the_last_teeth_and_the_front_and_halfway_between_the_heels() -> None:
    expected = {"centre": (2, 10), "left": (24, 3), "right": (-21, 0), "front": (3, 27), "behind": (1, -16)}

    assert expected == {name: (at.x_mm, at.y_mm) for name, at in pull_points(LEANING.layout).items()}


def test_a_denture_bears_on_its_border_the_supports_and_the_end() -> None:
    """The end runs 8 mm on from the support at (10, 20)."""
    border = [(at[0], at[1]) for at in LEANING.layout.base.border]

    assert 9 == len(border)
    assert [*border, (-10, 20), (10, 20), (18, 20)] == [(at.x_mm, at.y_mm) for at in contact_points(LEANING.layout)]


def test_every_part_holds_by_its_own_low_end() -> None:
    """Two clips of 4 mm with 2 mm between stand 3 mm to each side of the middle."""
    points, retentions = holding_points([TWO, BALL])

    assert {(-3, 20), (3, 20), (18, 20)} == {(round(at.x_mm, 9), round(at.y_mm, 9)) for at in points}
    assert [5, 5, 3] == retentions


@pytest.mark.parametrize(
    ("expected", "keys"),
    [(5 * 30 / 38, ["B=clip"]), (10 * 30 / 38, ["B=clip x2"]), (0, [])],
    ids=["one", "two", "none"],
)
def test_the_hold_against_a_pull_at_the_front_is_that_of_a_lever(expected: float, keys: list[str]) -> None:
    """5 N each, 30 mm in front of the heels on which the denture tips; the pull is 38 mm in front of them."""
    found = hold_against(EVEN.layout, [EVEN.option_of[key] for key in keys], "front")

    assert ("front", Point(0, 28)) == (found.name, found.at)
    assert expected == pytest.approx(found.hold_n)


def test_an_option_adds_its_retention_times_the_lift_where_its_parts_are() -> None:
    tips = LiftField(0, 0, 1 / 28)

    assert pytest.approx(10) == lift_worth(PLAIN_LIFT, TWO)
    assert pytest.approx(2 * 5 * 20 / 28) == lift_worth(tips, TWO)
    assert pytest.approx(5 * (20 - 12) / 28) == lift_worth(LiftField(-12 / 28, 0, 1 / 28), ONE)
    assert 0 == lift_worth(LiftField(-1, 0, 1 / 28), ONE)
