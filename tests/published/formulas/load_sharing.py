"""How a load on a rigid bar divides among the supports that carry it.

The bar is rigid, each support a linear spring that takes force but no moment, in pressure and in tension
alike: the rigid superstructure of Skalak (J Prosthet Dent 1983;49:843-848, from memory), which is the
bolt group of machine design. That holds for a bar screwed down, not for a denture that lies on mucosa: regrip works
with `solver.mechanics.bar_frame`, of which this is the limit of a rigid bar.

Positions are (x, y) in the patient frame. A vertical load is positive where it presses on the bar, a share
where it presses on the support; a negative share pulls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solver.handbook.checks import check_finite, check_positive
from solver.handbook.point import PointLoad

Array = NDArray[np.float64]

LINE_TOLERANCE_MM = 0.5
"""Supports whose root mean square distance from a line is less count as lying on it.

About the error of a position taken from a cast (author's choice). Closer to the line the shares would grow
without limit, which no mouth does: the mucosa takes the rest.
"""


class Support(NamedTuple):
    """A support of the bar: position and axial stiffness, of which only the ratios matter to the shares."""

    x_mm: float
    y_mm: float
    stiffness_n_per_mm: float = 1.0


class Arrangement(StrEnum):
    """What the positions of the supports let them carry."""

    POINT = "point"
    LINE = "line"
    PLANE = "plane"


class NoSupport(ValueError):
    """A load with nothing to carry it."""

    def __str__(self) -> str:
        return "no support to carry the load"


class Unbalanced(ValueError):
    """The supports cannot hold the load level by themselves."""

    def __init__(self, arrangement: Arrangement, moment_nmm: float) -> None:
        self.arrangement, self.moment_nmm = arrangement, moment_nmm
        super().__init__(arrangement, moment_nmm)

    def __str__(self) -> str:
        return f"supports on one {self.arrangement} leave {self.moment_nmm:.1f} N mm for the mucosa to carry"


@dataclass(frozen=True, slots=True)
class Sharing:
    """Force on each support [N], and the first moment (x, y) [N mm] that they leave to the mucosa.

    The sums always hold: sum of shares = load, and sum of share x position + unbalanced = load x position.
    """

    shares_n: tuple[float, ...]
    unbalanced_nmm: tuple[float, float]
    arrangement: Arrangement

    @property
    def unbalanced_moment_nmm(self) -> float:
        """Size of the moment left to the mucosa."""
        return float(np.hypot(*self.unbalanced_nmm))

    def require_balance(self, tolerance_nmm: float = 1e-6) -> Sharing:
        """Return self where the supports alone carry the load.

        Raises:
            Unbalanced: where more than `tolerance_nmm` is left to the mucosa.
        """
        if self.unbalanced_moment_nmm > tolerance_nmm:
            raise Unbalanced(self.arrangement, self.unbalanced_moment_nmm)
        return self


@dataclass(frozen=True, slots=True)
class PlaneSharing:
    """Horizontal force (x, y) [N] on each support, and the moment [N mm] that a lone one must resist."""

    shares_n: tuple[tuple[float, float], ...]
    unbalanced_nmm: float


def share_vertical(
    supports: Sequence[Support],
    loads: Sequence[PointLoad],
    *,
    line_tolerance_mm: float = LINE_TOLERANCE_MM,
) -> Sharing:
    """Share vertical loads among supports joined by a rigid bar.

    Solves share_i = k_i (d + a x_i + b y_i) exactly (three equations of equilibrium), for any arrangement and
    stiffness. The textbook form with one term per axis holds only on principal axes and is not used.
    Supports on a line tilt only along it: what the load does across the line is returned as unbalanced.

    Raises:
        NoSupport: without supports.
        OutOfDomain: for a number that is not finite, or a stiffness not above zero.
    """
    place, stiffness = _arrays(supports)
    load, load_moment = _resultant(loads)
    axes = _tilting_axes(place, line_tolerance_mm)
    centre = stiffness @ place / stiffness.sum()
    along = (place - centre) @ axes.T
    turning = np.linalg.solve(along.T @ (stiffness[:, None] * along), axes @ (load_moment - load * centre))
    shares = stiffness * (load / stiffness.sum() + along @ turning)
    left = load_moment - shares @ place
    arrangement = (Arrangement.POINT, Arrangement.LINE, Arrangement.PLANE)[len(axes)]
    return Sharing(tuple(shares.tolist()), (float(left[0]), float(left[1])), arrangement)


def share_alone(supports: Sequence[Support], loads: Sequence[PointLoad]) -> Sharing:
    """Give each load to the support nearest to it: supports that nothing joins.

    Supports equally near share equally. Stiffness plays no part, and the whole lever arm of each load is left
    as unbalanced, since nothing joins the supports: a simple upper estimate, not a law.

    Raises:
        NoSupport: without supports.
        OutOfDomain: as for `share_vertical`.
    """
    place, _ = _arrays(supports)
    _, load_moment = _resultant(loads)
    shares = np.zeros(len(place))
    for load in loads:
        distance = np.hypot(*(place - (load.x_mm, load.y_mm)).T)
        nearest = np.isclose(distance, distance.min(), rtol=0.0, atol=1e-9)
        shares += load.force_n * nearest / nearest.sum()
    left = load_moment - shares @ place
    return Sharing(tuple(shares.tolist()), (float(left[0]), float(left[1])), Arrangement.POINT)


def share_in_plane(
    supports: Sequence[Support],
    force_n: tuple[float, float],
    at_mm: tuple[float, float],
    moment_nmm: float = 0.0,
) -> PlaneSharing:
    """Share a horizontal force through `at_mm`, and a moment about +z, among joined supports.

    The eccentric bolt group: a direct part in proportion to stiffness, and a turning part square
    to the arm from the centre of stiffness (Budynas and Nisbett, Shigley's Mechanical
    Engineering Design, ch. 8; memory). Supports at one place leave the twist unbalanced.

    Raises:
        NoSupport: without supports.
        OutOfDomain: as for `share_vertical`.
    """
    place, stiffness = _arrays(supports)
    check_finite(force_x_n=force_n[0], force_y_n=force_n[1], x_mm=at_mm[0], y_mm=at_mm[1], moment_nmm=moment_nmm)
    centre = stiffness @ place / stiffness.sum()
    arm_x, arm_y = np.asarray(at_mm) - centre
    moment = moment_nmm + arm_x * force_n[1] - arm_y * force_n[0]
    offset = place - centre
    polar = float(stiffness @ (offset**2).sum(axis=1))
    at_one_place = not len(_tilting_axes(place, LINE_TOLERANCE_MM))
    angle = 0.0 if at_one_place else moment / polar
    turned = angle * np.column_stack((-offset[:, 1], offset[:, 0]))
    shares = stiffness[:, None] * (np.asarray(force_n) / stiffness.sum() + turned)
    return PlaneSharing(tuple((float(x), float(y)) for x, y in shares), float(moment - angle * polar))


def _arrays(supports: Sequence[Support]) -> tuple[Array, Array]:
    """Positions (n, 2) and stiffnesses (n,), checked."""
    if not supports:
        raise NoSupport
    for support in supports:
        check_finite(x_mm=support.x_mm, y_mm=support.y_mm)
        check_positive(stiffness_n_per_mm=support.stiffness_n_per_mm)
    table = np.asarray(supports, dtype=np.float64)
    return table[:, :2], table[:, 2]


def _resultant(loads: Sequence[PointLoad]) -> tuple[float, Array]:
    """Total force, and its first moments (2,) about the origin."""
    for load in loads:
        check_finite(x_mm=load.x_mm, y_mm=load.y_mm, force_n=load.force_n)
    table = np.asarray(loads, dtype=np.float64).reshape(-1, 3)
    return float(table[:, 2].sum()), table[:, 2] @ table[:, :2]


def _tilting_axes(place: Array, line_tolerance_mm: float) -> Array:
    """Directions (0, 1 or 2 rows) along which the supports are spread by more than the tolerance.

    Judged on positions alone: a stiff neighbour must not make a tripod look like a line.
    """
    _, spread, directions = np.linalg.svd(place - place.mean(axis=0), full_matrices=False)
    axes: Array = directions[spread / np.sqrt(len(place)) > line_tolerance_mm]
    return axes
