"""What motion several exact joints leave to one rigid body, and how far they constrain it twice.

Joints on one body act in parallel: the motions left are those that every joint allows, the constraint
wrenches are all of theirs together (Waldron, Journal of Mechanisms 1966;1:101-114; Adams and Whitney, Journal
of Mechanical Design 2001;123:26-32). A reference for exact joints without play or one-sided contact: real
attachments have both, and a mix of them is judged in `solver.mechanics.movement`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from solver.handbook.checks import check_positive
from solver.mechanics.screws import Array, adjoint, finite_array, force_at, unit_vector

CHARACTERISTIC_LENGTH_MM = 10.0
"""A turn of 1 rad counts like a shift by this much: about half of the distance between two attachments on a bar."""

RANK_TOLERANCE = 1e-6
"""Singular values up to this count as zero.

Two hinges 20 mm apart that should share an axis give about the angle between them in radians (0.0017 at 0.1 degrees);
rounding gives about 1e-15: exact joints lie far from this value on either side.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """A joint at a point. `wrenches` (k, 6): independent rows (m, f), about the origin, that it can withstand."""

    kind: str
    point: Array
    wrenches: Array


@dataclass(frozen=True, slots=True, eq=False)
class Mobility:
    """What is left to a body held by joints.

    `constraints` counts those of every joint by itself, `rank` those that differ. `motions` (dof, 6): a basis
    of the twists left, rows (w, t). `singular_values` (6,), falling: of the joints' constraints, each joint's
    made orthonormal, with turns scaled by the characteristic length. The smallest that is not zero tells how
    near to one more motion the joints are.
    """

    dof: int
    rank: int
    constraints: int
    motions: Array
    singular_values: Array

    @property
    def overconstraint(self) -> int:
        """How many constraints are withstood twice over, and so bind unless the parts fit exactly."""
        return self.constraints - self.rank


def ball(point: ArrayLike) -> Joint:
    """A ball in a socket: every turn about the point."""
    at = finite_array("point", point, (3,))
    return Joint("ball", at, _forces(at, np.eye(3)))


def hinge(point: ArrayLike, axis: ArrayLike) -> Joint:
    """A hinge (revolute joint): the turn about an axis through the point."""
    at, across = finite_array("point", point, (3,)), _across(axis)
    return Joint("hinge", at, np.vstack([_forces(at, np.eye(3)), _couples(across)]))


def cylindrical(point: ArrayLike, axis: ArrayLike) -> Joint:
    """A sleeve on a round bar without stops: the turn about the axis and the slide along it."""
    at, across = finite_array("point", point, (3,)), _across(axis)
    return Joint("cylindrical", at, np.vstack([_forces(at, across), _couples(across)]))


def ball_in_groove(point: ArrayLike, along: ArrayLike) -> Joint:
    """A ball in a straight groove: every turn about the point and the slide along the groove."""
    at = finite_array("point", point, (3,))
    return Joint("ball in groove", at, _forces(at, _across(along)))


def ball_on_plane(point: ArrayLike, normal: ArrayLike) -> Joint:
    """A ball kept between two flats: all but the shift along their normal."""
    at = finite_array("point", point, (3,))
    return Joint("ball on plane", at, _forces(at, unit_vector("normal", normal)[np.newaxis]))


def flat_on_plane(point: ArrayLike, normal: ArrayLike) -> Joint:
    """A flat kept on a flat (planar joint): two slides in the plane and the turn about its normal."""
    at, across = finite_array("point", point, (3,)), _across(normal)
    return Joint(
        "flat on plane", at, np.vstack([_forces(at, unit_vector("normal", normal)[np.newaxis]), _couples(across)])
    )


def mobility(
    joints: Sequence[Joint],
    *,
    length_mm: float = CHARACTERISTIC_LENGTH_MM,
    about: ArrayLike | None = None,
    tolerance: float = RANK_TOLERANCE,
) -> Mobility:
    """Return the motion that all the joints together leave to the body they hold.

    The rank of exact joints does not depend on `length_mm` nor on `about`, the point at which translation is
    measured; the singular values do. Left out, `about` is the mean of the joints' points, so that they do not
    depend on the origin.

    Raises:
        OutOfDomain, WrongShape: where a length or tolerance is not above zero, or `about` is no point.
    """
    check_positive(length_mm=length_mm, tolerance=tolerance)
    if about is None:
        about = np.mean([joint.point for joint in joints], axis=0) if joints else np.zeros(3)
    unscale = adjoint(np.eye(3), about) @ np.diag([1.0 / length_mm] * 3 + [1.0] * 3)
    rows = [np.zeros((6, 6)), *(_orthonormal(joint.wrenches @ unscale) for joint in joints)]
    _, values, directions = np.linalg.svd(np.vstack(rows), full_matrices=False)
    rank = int(np.count_nonzero(values > tolerance))
    return Mobility(
        dof=6 - rank,
        rank=rank,
        constraints=sum(len(joint.wrenches) for joint in joints),
        motions=directions[rank:] @ unscale.T,
        singular_values=values,
    )


def _orthonormal(rows: Array) -> Array:
    columns, _ = np.linalg.qr(rows.T)
    return columns.T


def _across(axis: ArrayLike) -> Array:
    """Two unit vectors (2, 3) square to an axis and to each other."""
    return np.linalg.svd(unit_vector("axis", axis)[np.newaxis])[2][1:]


def _forces(point: Array, directions: Array) -> Array:
    return np.array([force_at(point, direction) for direction in directions])


def _couples(directions: Array) -> Array:
    return np.hstack([directions, np.zeros_like(directions)])
