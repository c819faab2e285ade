"""Twists and wrenches of one rigid body, exact and for small motions.

A twist is (w, t): turn [rad], then translation [mm] of the body point at the origin. A wrench is (m, f):
moment about the origin [N mm], then force [N]. A frame b seen in a is (rotation, position): its axes are the
columns of `rotation`, its origin lies at `position` [mm]. Formulas: Lynch and Park, Modern Robotics
(Cambridge 2017), chapter 3, where the two halves of a twist stand in the same order.
"""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from solver.handbook.checks import OutOfDomain

Array: TypeAlias = NDArray[np.float64]

ROTATION_TOLERANCE = 1e-6
"""Largest entry of R^T R - 1 in a rotation: above the rounding of matrices read from a file, below any real turn."""


class WrongShape(ValueError):
    """An array has another shape than the quantity it stands for."""

    def __init__(self, name: str, shape: tuple[int, ...], wanted: str) -> None:
        self.name, self.shape, self.wanted = name, shape, wanted
        super().__init__(name, shape, wanted)

    def __str__(self) -> str:
        return f"{self.name}: must have the shape {self.wanted}, got {self.shape}"


class NotARotation(ValueError):
    """A matrix does more than turn: it stretches, skews or mirrors."""

    def __init__(self, matrix: Array) -> None:
        self.matrix = matrix
        super().__init__(matrix)

    def __str__(self) -> str:
        return f"rotation: must be orthonormal and right-handed, got {self.matrix.tolist()}"


def finite_array(name: str, values: ArrayLike, shape: tuple[int, ...]) -> Array:
    """Read `values` as finite floats of the given shape.

    Raises:
        WrongShape: where the shape differs.
        OutOfDomain: at the first entry that is infinite or not a number.
    """
    array = np.asarray(values, dtype=np.float64)
    if array.shape != shape:
        raise WrongShape(name, array.shape, str(shape))
    for value in array.flat:
        if not math.isfinite(value):
            raise OutOfDomain(name, float(value), "must be finite")
    return array


def unit_vector(name: str, values: ArrayLike) -> Array:
    """Read a direction (3,) and scale it to length 1.

    Raises:
        WrongShape, OutOfDomain: where it is no finite vector, or has no length.
    """
    vector = finite_array(name, values, (3,))
    length = float(np.linalg.norm(vector))
    if length == 0.0:
        raise OutOfDomain(name, length, "must have a length above zero")
    return vector / length


def cross_matrix(vector: Array) -> Array:
    """Return the (3, 3) matrix [p] with [p] q = p x q."""
    x, y, z = vector
    return np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])


def adjoint(rotation: ArrayLike, position: ArrayLike) -> Array:
    """Return the (6, 6) matrix that takes a twist given in b to the same twist given in a (section 3.3.2).

    Raises:
        NotARotation, WrongShape, OutOfDomain: where (rotation, position) is no frame.
    """
    turn, origin = _frame(rotation, position)
    return np.block([[turn, np.zeros((3, 3))], [cross_matrix(origin) @ turn, turn]])


def inverse_frame(rotation: ArrayLike, position: ArrayLike) -> tuple[Array, Array]:
    """Return a seen in b, from b seen in a. Raises as `adjoint` does."""
    turn, origin = _frame(rotation, position)
    return turn.T, -turn.T @ origin


def transform_twist(twist: ArrayLike, rotation: ArrayLike, position: ArrayLike) -> Array:
    """Return in a the twist (6,) that is given in b. Raises as `adjoint` does."""
    return adjoint(rotation, position) @ finite_array("twist", twist, (6,))


def transform_wrench(wrench: ArrayLike, rotation: ArrayLike, position: ArrayLike) -> Array:
    """Return in a the wrench (6,) that is given in b (section 3.4). Raises as `adjoint` does.

    It is the transpose of the adjoint of the inverse frame, so that the power of a wrench on a twist is the
    same in both.
    """
    return adjoint(*inverse_frame(rotation, position)).T @ finite_array("wrench", wrench, (6,))


def screw_axis(point: ArrayLike, axis: ArrayLike, pitch_mm_per_rad: float = 0.0) -> Array:
    """Return the twist (6,) of a turn of 1 rad about the line through `point` along `axis`, sliding by the pitch.

    The axis need not have length 1. Formula (s, q x s + h s).

    Raises:
        WrongShape, OutOfDomain: where the three do not name a screw.
    """
    s = unit_vector("axis", axis)
    if not math.isfinite(pitch_mm_per_rad):
        raise OutOfDomain("pitch_mm_per_rad", pitch_mm_per_rad, "must be finite; a pure slide is (0, 0, 0, *axis)")
    return np.concatenate([s, np.cross(finite_array("point", point, (3,)), s) + pitch_mm_per_rad * s])


def force_at(point: ArrayLike, force: ArrayLike) -> Array:
    """Return the wrench (6,) of a force [N] that acts at a point [mm]: (p x f, f)."""
    f = finite_array("force", force, (3,))
    return np.concatenate([np.cross(finite_array("point", point, (3,)), f), f])


def displacement_at(twist: ArrayLike, point: ArrayLike) -> Array:
    """Return how far (3,) [mm] a body point goes under a small twist: t + w x p."""
    motion = finite_array("twist", twist, (6,))
    return motion[3:] + np.cross(motion[:3], finite_array("point", point, (3,)))


def power(wrench: ArrayLike, twist: ArrayLike) -> float:
    """Return the work [N mm] of a wrench on a small twist, both given in one frame: m . w + f . t."""
    return float(finite_array("wrench", wrench, (6,)) @ finite_array("twist", twist, (6,)))


def _frame(rotation: ArrayLike, position: ArrayLike) -> tuple[Array, Array]:
    turn = finite_array("rotation", rotation, (3, 3))
    skew = float(np.abs(turn.T @ turn - np.eye(3)).max())
    if skew > ROTATION_TOLERANCE or np.linalg.det(turn) < 0.0:
        raise NotARotation(turn)
    return turn, finite_array("position", position, (3,))
