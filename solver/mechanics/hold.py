"""How hard a denture can be pulled before it comes off, and the line it tips about.

The denture is rigid. Attachment i holds it back with at most its retention R_i; the bar and the mucosa only
push it out of the mouth. A pull at one point, along the path of removal, is balanced by some of these forces;
the largest such pull is the hold. Positions are (x, y) square to the path of removal, in mm.

The dual is a field of lift v(x, y) = c0 + cx x + cy y with v = 1 at the pull and v >= 0 at every contact, and
hold = sum R_i max(0, v_i): the denture tips about the line v = 0. For any other retentions of the same points
that sum is still an upper bound of the hold, which is what makes it a cut.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from solver.handbook.checks import check_finite, check_not_negative
from solver.handbook.point import Point
from solver.mechanics.limit_analysis import Bound, LimitModel

NEGLIGIBLE_N = 1e-6
"""A retention below a millionth of a newton counts as none: the solver cannot tell its bounds apart."""

FLAT_PER_MM = 1e-9
"""A lift field that rises less than this per mm is a plain lift: its line would lie a thousand km away."""


class TippingLine(NamedTuple):
    """The line of no lift: its point nearest to the origin, and its direction (unit length)."""

    foot: Point
    direction: Point


class LiftField(NamedTuple):
    """Lift per unit of lift at the pull: v(x, y) = c0 + cx x + cy y."""

    c0: float
    cx: float
    cy: float

    def at(self, point: Point) -> float:
        """Lift at a point; negative where the denture is pressed down."""
        return self.c0 + self.cx * point.x_mm + self.cy * point.y_mm

    def bound_n(self, attachments: Sequence[Point], retentions_n: Sequence[float]) -> float:
        """Hold that these attachments cannot exceed: sum of R max(0, v)."""
        return sum(r * max(0.0, self.at(p)) for p, r in zip(attachments, retentions_n, strict=True))

    def tipping_line(self) -> TippingLine | None:
        """Line the denture tips about, or None where it lifts without tipping."""
        slope = math.hypot(self.cx, self.cy)
        if slope < FLAT_PER_MM:
            return None
        ux, uy = self.cx / slope, self.cy / slope
        return TippingLine(Point(-self.c0 / slope * ux, -self.c0 / slope * uy), Point(-uy, ux))


PLAIN_LIFT = LiftField(1.0, 0.0, 0.0)
"""The denture comes straight out: chosen wherever it is one of the ways that need no more force."""


@dataclass(frozen=True, slots=True)
class Pull:
    """Largest pull at a point, the forces that balance it, and how the denture gives."""

    hold_n: float
    attachment_n: tuple[float, ...]
    contact_n: tuple[float, ...]
    lift: LiftField


class PullModel:
    """The pulls of one denture: its points are fixed, retentions and the point of pull may change."""

    def __init__(self, attachments: Sequence[Point], contacts: Sequence[Point]) -> None:
        """Take the points that hold and the points that push.

        Raises:
            OutOfDomain: for a position that is not finite.
        """
        for point in (*attachments, *contacts):
            check_finite(x_mm=point.x_mm, y_mm=point.y_mm)
        self._contacts = len(contacts)
        held = [(1.0, p.x_mm, p.y_mm) for p in attachments]
        pushed = [(-1.0, -p.x_mm, -p.y_mm) for p in contacts]
        self._limit = LimitModel(held + pushed, rows=3)

    def largest_pull(self, retentions_n: Sequence[float], at: Point) -> Pull:
        """Return the hold against a pull at a point; zero where nothing holds it, with the way it comes off.

        Raises:
            OutOfDomain: for a retention that is negative or not finite, or a point that is not finite.
        """
        check_finite(x_mm=at.x_mm, y_mm=at.y_mm)
        for retention in retentions_n:
            check_not_negative(retention_n=retention)
        bounds = [Bound(0.0, r if r >= NEGLIGIBLE_N else 0.0) for r in retentions_n] + [
            Bound(0.0, math.inf)
        ] * self._contacts
        state = self._limit.solve((1.0, at.x_mm, at.y_mm), bounds)
        held, total = len(retentions_n), sum(retentions_n)
        straight = math.isclose(state.factor, total, rel_tol=1e-9, abs_tol=1e-9)
        lift = PLAIN_LIFT if straight else LiftField(*state.motion)
        return Pull(max(0.0, state.factor), state.forces[:held], state.forces[held:], lift)


def largest_pull(
    attachments: Sequence[Point], retentions_n: Sequence[float], contacts: Sequence[Point], at: Point
) -> Pull:
    """Return the hold of one set of attachments against one pull; raises as `PullModel`."""
    return PullModel(attachments, contacts).largest_pull(retentions_n, at)
