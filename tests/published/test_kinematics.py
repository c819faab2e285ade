"""Screws, mobility and form closure against textbooks and their published code; each row says how it is known.

"read": seen in the publication named. "memory": recalled from it, worked again here. "derived": no publication
claimed, worked by hand or with another program.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from solver.clip_mismatch import clip_mismatch
from solver.form_closure import is_form_closed
from solver.mobility import (
    Joint,
    ball,
    ball_in_groove,
    ball_on_plane,
    cylindrical,
    hinge,
    mobility,
)
from solver.screws import adjoint, inverse_frame, screw_axis, transform_twist, transform_wrench

X, Y, Z = (1, 0, 0), (0, 1, 0), (0, 0, 1)
HERE, ALONG_X, BESIDE, ABOVE = (0, 0, 2), (22, 0, 2), (0, 15, 2), (22, 0, 9)
AT_30_DEG = (math.cos(math.pi / 6), math.sin(math.pi / 6), 0)


@pytest.mark.parametrize(
    ("joints", "dof", "rank", "constraints", "overconstraint"),
    [
        pytest.param([ball(HERE)], 3, 3, 3, 0, id="one ball (textbooks, memory)"),
        pytest.param([hinge(HERE, X), hinge(ALONG_X, X)], 1, 5, 10, 5, id="collinear hinges (textbooks, memory)"),
        pytest.param([hinge(HERE, X), hinge(BESIDE, X)], 0, 6, 10, 4, id="parallel hinges (textbooks, memory)"),
        pytest.param([hinge(HERE, X), hinge(HERE, Y)], 0, 6, 10, 4, id="intersecting hinges (textbooks, memory)"),
        pytest.param([hinge(HERE, X), hinge(ABOVE, Y)], 0, 6, 10, 4, id="skew hinges (textbooks, memory)"),
        pytest.param([ball(HERE), ball(ALONG_X)], 1, 5, 6, 1, id="two balls 22 mm apart (textbooks, memory)"),
        pytest.param([ball(HERE), ball(ALONG_X), ball(BESIDE)], 0, 6, 9, 3, id="three balls (textbooks, memory)"),
        pytest.param([ball(HERE), ball((9, 0, 2)), ball(ALONG_X)], 1, 5, 9, 4, id="three balls in line (derived)"),
        pytest.param([hinge(HERE, X), ball(ALONG_X)], 1, 5, 8, 3, id="hinge, ball on its axis (derived)"),
        pytest.param([hinge(HERE, X), ball(BESIDE)], 0, 6, 8, 2, id="hinge, ball off its axis (derived)"),
        pytest.param([cylindrical(HERE, X), cylindrical(ALONG_X, X)], 2, 4, 8, 4, id="collinear sleeves (derived)"),
        pytest.param([cylindrical(HERE, X), cylindrical(BESIDE, X)], 1, 5, 8, 3, id="parallel sleeves (derived)"),
        pytest.param([cylindrical(HERE, X), cylindrical(HERE, Y)], 0, 6, 8, 2, id="sleeves at 90 deg (derived)"),
        pytest.param([cylindrical(HERE, X), cylindrical(HERE, AT_30_DEG)], 0, 6, 8, 2, id="at 30 deg (derived)"),
        pytest.param([ball(HERE), ball_in_groove(ALONG_X, X)], 1, 5, 5, 0, id="groove along the line (derived)"),
        pytest.param([ball(HERE), ball_in_groove(ALONG_X, Y)], 2, 4, 5, 1, id="groove across the line (derived)"),
        pytest.param(
            [ball(HERE), ball_in_groove(ALONG_X, X), ball_on_plane(BESIDE, Z)],
            *(0, 6, 6, 0),
            id="Kelvin coupling, two-sided (Blanding, Exact Constraint, 1999; memory)",
        ),
    ],
)
def test_freedom_that_joints_leave(
    joints: list[Joint], dof: int, rank: int, constraints: int, overconstraint: int
) -> None:
    left = mobility(joints)

    assert (dof, rank, constraints, overconstraint) == (left.dof, left.rank, left.constraints, left.overconstraint)


def test_adjoint_of_the_published_code() -> None:
    """Docstring of `Adjoint` in the code of Lynch and Park, Modern Robotics (read)."""
    expected = [
        [1, 0, 0, 0, 0, 0],
        [0, 0, -1, 0, 0, 0],
        [0, 1, 0, 0, 0, 0],
        [0, 0, 3, 1, 0, 0],
        [3, 0, 0, 0, 0, -1],
        [0, 0, 0, 0, 1, 0],
    ]

    assert expected == adjoint([[1, 0, 0], [0, 0, -1], [0, 1, 0]], (0, 0, 3)).tolist()


def test_screw_axis_of_the_published_code() -> None:
    """Docstring of `ScrewToAxis` in the code of Lynch and Park, Modern Robotics (read)."""
    assert [0, 0, 1, 0, -3, 2] == screw_axis((3, 0, 0), (0, 0, 1), 2).tolist()


CAR = (np.diag([-1, 1, -1]), (4, 0.4, 0))
CAR_IN_SPACE, CAR_IN_BODY = [0, 0, 2, -2, -4, 0], [0, 0, -2, 2.8, 4, 0]


def test_twist_of_a_turning_car() -> None:
    """Lynch and Park, Modern Robotics, chapter 3: a car turns at 2 rad/s about (2, -1, 0) (memory)."""
    assert pytest.approx(CAR_IN_SPACE, abs=1e-9) == transform_twist(CAR_IN_BODY, *CAR)
    assert pytest.approx(CAR_IN_BODY, abs=1e-9) == transform_twist(CAR_IN_SPACE, *inverse_frame(*CAR))
    assert pytest.approx(CAR_IN_SPACE, abs=1e-9) == 2 * screw_axis((2, -1, 0), (0, 0, 1))


def test_wrench_of_a_hand_that_holds_an_apple() -> None:
    """Lynch and Park, Modern Robotics, section 3.4 (set-up read, numbers from memory).

    The hand weighs 5 N at 0.10, the apple 1 N at 0.25 before the sensor; the book's lengths are metres.
    """
    hand = transform_wrench([0, 0, 0, 0, -5, 0], np.eye(3), (0.10, 0, 0))
    apple = transform_wrench([0, 0, 0, 0, 0, 1], [[1, 0, 0], [0, 0, -1], [0, 1, 0]], (0.25, 0, 0))

    assert pytest.approx([0, 0, -0.5, 0, -5, 0], abs=1e-9) == hand
    assert pytest.approx([0, 0, -0.25, 0, -1, 0], abs=1e-9) == apple
    assert pytest.approx([0, 0, -0.75, 0, -6, 0], abs=1e-9) == hand + apple


def test_two_balls_leave_the_turn_about_the_line_that_joins_them() -> None:
    """A textbook fact (memory); the twist of the line at height 2 is (1, 0, 0, 0, 2, 0) by t = q x s."""
    (motion,) = mobility([ball((0, 0, 2)), ball((22, 0, 2))]).motions

    assert pytest.approx([1, 0, 0, 0, 2, 0], abs=1e-9) == motion / motion[0]


PINWHEEL = [[-0.5, 1, 0], [-0.5, -1, 0], [0.5, 0, 1], [0.5, 0, -1]]


@pytest.mark.parametrize(
    ("wrenches", "closed"),
    [
        pytest.param(PINWHEEL, True, id="two moments each way: held"),
        pytest.param([*PINWHEEL[:2], [-0.5, 0, 1], [-0.5, 0, -1]], False, id="all moments one way: turns"),
        pytest.param([[0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], False, id="mid-sides, no moment: turns"),
        *(
            pytest.param(PINWHEEL[:gone] + PINWHEEL[gone + 1 :], False, id=f"three contacts, without {gone}")
            for gone in range(4)
        ),
    ],
)
def test_form_closure_of_a_square(wrenches: list[list[float]], closed: bool) -> None:
    """A square of side 2 pushed at its sides, rows (m, fx, fy); contacts worked by hand (derived).

    The criterion, and at least four contacts in the plane: Lynch and Park, Modern Robotics, section 12.1.7 (read).
    """
    assert closed is is_form_closed(wrenches)


@pytest.mark.parametrize(
    ("askew_deg", "smallest"), [(0.0, 0.0), (0.1, 0.0247), (1.0, 0.23665), (5.0, 0.7101)], ids="{}".format
)
def test_smallest_singular_value_of_hinges_out_of_line(askew_deg: float, smallest: float) -> None:
    """Hinges 20 mm apart, measured at the first with 1 mm as the length (derived, worked with another null space)."""
    askew = math.radians(askew_deg)
    hinges = [hinge((0, 0, 0), X), hinge((20, 0, 0), (math.cos(askew), math.sin(askew), 0))]

    values = mobility(hinges, length_mm=1.0, about=(0, 0, 0)).singular_values

    assert pytest.approx(smallest, abs=1e-9 if smallest == 0.0 else 5e-5) == values[-1]


@pytest.mark.parametrize(
    ("offset_mm", "askew_deg", "length_mm", "expected"),
    [
        pytest.param(2.0, 0.0, 5.0, (0.10472, 0.0), id="2 mm off, parallel"),
        pytest.param(0.0, 15.0, 5.0, (0.0, 0.03388), id="15 degrees askew, on the axis"),
    ],
)
def test_mismatch_of_a_clip_at_3_degrees(
    offset_mm: float, askew_deg: float, length_mm: float, expected: tuple[float, float]
) -> None:
    """Turn times offset, and half length times turn times sin(askew) (derived)."""
    gives = clip_mismatch(
        turn_rad=math.radians(3.0), offset_mm=offset_mm, askew_rad=math.radians(askew_deg), length_mm=length_mm
    )

    assert pytest.approx(expected, abs=1e-4) == gives
