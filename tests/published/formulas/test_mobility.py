"""Mobility against each joint's own freedoms, and laws that do not depend on where or how it is measured."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import null_space

from solver.handbook.checks import OutOfDomain
from solver.mechanics.screws import Array, adjoint, displacement_at, screw_axis
from tests.published.formulas.mobility import (
    Joint,
    ball,
    ball_in_groove,
    ball_on_plane,
    cylindrical,
    flat_on_plane,
    hinge,
    mobility,
)
from tests.solver.frames import axes, frames, vectors

Make: TypeAlias = Callable[[Array, Array], Joint]
Placed: TypeAlias = tuple[Make, Array, Array]

MAKERS: tuple[Make, ...] = (
    lambda point, _: ball(point),
    hinge,
    cylindrical,
    ball_in_groove,
    ball_on_plane,
    flat_on_plane,
)
EXACT_POINTS = st.sampled_from([(0, 0, 0), (20, 0, 0), (-7, 0, 0), (0, 15, 0), (20, 15, 4)]).map(np.array)
EXACT_AXES = st.sampled_from([(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 1, 0)]).map(np.array)
"""Few places and directions, so that joints often share a line or a plane."""

PLACED = st.tuples(st.sampled_from(MAKERS), EXACT_POINTS, EXACT_AXES)
MIXES = st.lists(PLACED, max_size=4)


def joints_of(mix: list[Placed]) -> list[Joint]:
    return [make(point, axis) for make, point, axis in mix]


def turns(point: Array, *about: tuple[float, float, float]) -> list[Array]:
    return [screw_axis(point, axis) for axis in about]


def slides(*along: tuple[float, float, float]) -> list[Array]:
    return [np.array([0.0, 0.0, 0.0, *axis]) for axis in along]


X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
P = np.array([3.0, -8.0, 5.0])


@pytest.mark.parametrize(
    ("joint", "freedoms"),
    [
        pytest.param(ball(P), turns(P, X, Y, Z), id="ball"),
        pytest.param(hinge(P, X), turns(P, X), id="hinge"),
        pytest.param(cylindrical(P, X), [*turns(P, X), *slides(X)], id="cylindrical"),
        pytest.param(ball_in_groove(P, X), [*turns(P, X, Y, Z), *slides(X)], id="ball in groove"),
        pytest.param(ball_on_plane(P, X), [*turns(P, X, Y, Z), *slides(Y, Z)], id="ball on plane"),
        pytest.param(flat_on_plane(P, X), [*turns(P, X), *slides(Y, Z)], id="flat on plane"),
    ],
)
def test_joint_withstands_all_but_its_freedoms(joint: Joint, freedoms: list[Array]) -> None:
    """The wrenches do no work on the named freedoms, and with them fill all six dimensions."""
    assert pytest.approx(np.zeros((len(joint.wrenches), len(freedoms))), abs=1e-9) == joint.wrenches @ np.transpose(
        freedoms
    )
    assert 6 == len(freedoms) + np.linalg.matrix_rank(joint.wrenches)
    assert len(freedoms) == mobility([joint]).dof


@given(MIXES)
def test_motions_left_are_those_of_every_joint(mix: list[Placed]) -> None:
    """Another way: the null space of the bare constraints, by another library, has the same size and span."""
    joints = joints_of(mix)
    rows = np.vstack([np.zeros((1, 6)), *(joint.wrenches for joint in joints)])
    other = null_space(rows, rcond=1e-9)

    left = mobility(joints)

    assert other.shape[1] == left.dof == len(left.motions)
    assert pytest.approx(np.zeros((len(rows), left.dof)), abs=1e-9) == rows @ left.motions.T
    assert left.dof == np.linalg.matrix_rank(np.hstack([other, left.motions.T]), tol=1e-6)


@given(MIXES)
def test_counts_add_up(mix: list[Placed]) -> None:
    """Mobility of Gruebler and Kutzbach with the redundant constraints given back: dof = 6 - constraints + over."""
    left = mobility(joints_of(mix))

    assert left.dof == 6 - left.constraints + left.overconstraint
    assert 0 <= left.overconstraint


@given(MIXES, PLACED)
def test_another_joint_never_frees(mix: list[Placed], more: Placed) -> None:
    assert mobility(joints_of([*mix, more])).dof <= mobility(joints_of(mix)).dof


@given(MIXES, frames())
def test_mobility_is_free_of_the_frame(mix: list[Placed], frame: tuple[Array, Array]) -> None:
    rotation, position = frame
    moved = [(make, rotation @ point + position, rotation @ axis) for make, point, axis in mix]

    here, there = mobility(joints_of(mix)), mobility(joints_of(moved))

    assert here.rank == there.rank
    assert pytest.approx(here.singular_values, abs=1e-9) == there.singular_values
    carried = np.vstack([here.motions @ adjoint(rotation, position).T, there.motions])
    scaled = carried @ adjoint(np.eye(3), -position).T @ np.diag([10.0] * 3 + [1.0] * 3)
    assert here.dof == np.linalg.matrix_rank(scaled, tol=1e-6)


@given(MIXES, st.floats(1.0, 100.0), vectors(3, 30.0))
def test_rank_of_exact_joints_does_not_depend_on_the_measure(
    mix: list[Placed], length_mm: float, about: Array
) -> None:
    joints = joints_of(mix)

    assert mobility(joints).rank == mobility(joints, length_mm=length_mm, about=about).rank


@given(vectors(3), axes(), st.floats(5.0, 40.0))
def test_collinear_hinges_keep_the_hinge(point: Array, axis: Array, apart_mm: float) -> None:
    s = axis / np.linalg.norm(axis)
    left = mobility([hinge(point, s), hinge(point + apart_mm * s, -s)])

    assert 1 == left.dof
    assert pytest.approx(np.zeros(3), abs=1e-9) == displacement_at(left.motions[0], point + apart_mm / 3 * s)


@pytest.mark.parametrize("askew_deg", [0.1, 1.0, 5.0, 10.0])
def test_hinges_out_of_line_lock_by_about_the_angle(askew_deg: float) -> None:
    """With the default measure the smallest singular value is the angle in radians to 5 %, up to 10 degrees."""
    askew = math.radians(askew_deg)
    left = mobility([hinge((0, 0, 0), X), hinge((20, 0, 0), (math.cos(askew), math.sin(askew), 0))])

    assert 0 == left.dof
    assert pytest.approx(askew, rel=0.05) == left.singular_values[-1]


def test_free_body_keeps_all_six() -> None:
    left = mobility([])

    assert (6, 0, 0, 0) == (left.dof, left.rank, left.constraints, left.overconstraint)


@pytest.mark.parametrize("name", ["length_mm", "tolerance"])
def test_mobility_refuses_a_measure_of_nothing(name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        mobility([], **{name: 0.0})

    assert (name, 0.0) == (caught.value.name, caught.value.value)


def test_hinge_refuses_an_axis_without_length() -> None:
    with pytest.raises(OutOfDomain) as caught:
        hinge((0, 0, 0), (0, 0, 0))

    assert "axis" == caught.value.name
