"""Laws that twists and wrenches keep in every frame."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from solver.handbook.checks import OutOfDomain
from solver.mechanics.screws import (
    Array,
    NotARotation,
    WrongShape,
    adjoint,
    displacement_at,
    force_at,
    inverse_frame,
    power,
    screw_axis,
    transform_twist,
    transform_wrench,
)
from tests.solver.frames import axes, frames, vectors


@given(frames())
def test_adjoint_of_the_inverse_frame_is_the_inverse(frame: tuple[Array, Array]) -> None:
    assert pytest.approx(np.eye(6), abs=1e-9) == adjoint(*frame) @ adjoint(*inverse_frame(*frame))


@given(frames(), frames())
def test_adjoint_of_a_chain_is_the_product(ab: tuple[Array, Array], bc: tuple[Array, Array]) -> None:
    ac = ab[0] @ bc[0], ab[0] @ bc[1] + ab[1]

    assert pytest.approx(adjoint(*ac), abs=1e-9) == adjoint(*ab) @ adjoint(*bc)


@given(frames(), vectors(6), vectors(6))
def test_power_is_free_of_the_frame(frame: tuple[Array, Array], wrench: Array, twist: Array) -> None:
    moved = power(transform_wrench(wrench, *frame), transform_twist(twist, *frame))

    assert pytest.approx(power(wrench, twist), abs=1e-6) == moved


@given(frames(), vectors(6), vectors(3))
def test_displacement_is_free_of_the_frame(frame: tuple[Array, Array], twist: Array, point: Array) -> None:
    rotation, position = frame

    moved = displacement_at(transform_twist(twist, *frame), rotation @ point + position)

    assert pytest.approx(rotation @ displacement_at(twist, point), abs=1e-6) == moved


@given(frames(), vectors(3), vectors(3))
def test_force_moves_with_its_point(frame: tuple[Array, Array], point: Array, force: Array) -> None:
    rotation, position = frame

    moved = force_at(rotation @ point + position, rotation @ force)

    assert pytest.approx(moved, abs=1e-6) == transform_wrench(force_at(point, force), *frame)


@given(vectors(3), vectors(6), vectors(3))
def test_power_of_a_force_is_force_times_displacement(point: Array, twist: Array, force: Array) -> None:
    expected = float(force @ displacement_at(twist, point))

    assert pytest.approx(expected, abs=1e-6) == power(force_at(point, force), twist)


@given(vectors(3), axes(), st.floats(-5, 5), vectors(3))
def test_screw_is_the_start_of_a_finite_turn(point: Array, axis: Array, pitch: float, body: Array) -> None:
    """A small turn by another library, about the line and along it, goes where the twist says."""
    small = 1e-6
    s = axis / np.linalg.norm(axis)
    turned = Rotation.from_rotvec(small * s).apply(body - point) + point + small * pitch * s

    assert pytest.approx((turned - body) / small, abs=1e-3) == displacement_at(screw_axis(point, axis, pitch), body)


@given(vectors(3), axes(), st.floats(-5, 5), st.floats(-20, 20))
def test_points_on_a_screw_axis_only_slide(point: Array, axis: Array, pitch: float, along: float) -> None:
    s = axis / np.linalg.norm(axis)

    assert pytest.approx(pitch * s, abs=1e-9) == displacement_at(screw_axis(point, axis, pitch), point + along * s)


@pytest.mark.parametrize(
    "matrix",
    [
        pytest.param(np.diag([1.0, 1.0, -1.0]), id="mirror"),
        pytest.param(np.diag([1.0, 1.0, 1.001]), id="stretch"),
        pytest.param(np.array([[1.0, 0.1, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]), id="shear"),
        pytest.param(np.zeros((3, 3)), id="nothing"),
    ],
)
def test_adjoint_refuses_what_is_no_rotation(matrix: Array) -> None:
    with pytest.raises(NotARotation) as caught:
        adjoint(matrix, (0, 0, 0))

    assert f"rotation: must be orthonormal and right-handed, got {matrix.tolist()}" == str(caught.value)


def test_screw_axis_refuses_an_axis_without_length() -> None:
    with pytest.raises(OutOfDomain) as caught:
        screw_axis((1, 2, 3), (0, 0, 0))

    assert ("axis", 0.0) == (caught.value.name, caught.value.value)


def test_screw_axis_refuses_an_endless_pitch() -> None:
    with pytest.raises(OutOfDomain) as caught:
        screw_axis((0, 0, 0), (0, 0, 1), math.inf)

    assert "pitch_mm_per_rad" == caught.value.name


def test_displacement_refuses_a_point_of_the_plane() -> None:
    with pytest.raises(WrongShape) as caught:
        displacement_at(np.zeros(6), (1, 2))

    assert "point: must have the shape (3,), got (2,)" == str(caught.value)


def test_displacement_refuses_a_point_that_is_not_finite() -> None:
    with pytest.raises(OutOfDomain) as caught:
        displacement_at(np.zeros(6), (0, math.nan, 0))

    assert "point" == caught.value.name
