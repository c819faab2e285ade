"""How the jaw lies on the page: seen from where the denture comes, the patient's right on the left of the page.

The lower jaw is seen from above with the front at the foot of the page, the upper jaw from below with the front at
its head, as in every dental chart.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalogue.models import Play
from cli.draw.canvas import XY
from solver.case.base import Base
from solver.case.layout import Layout, Vector
from solver.case.schema import Arch
from solver.fit.candidate import Candidate
from solver.handbook.point import Point
from solver.handbook.teeth import DEFAULT_CURVES, Tooth
from solver.mechanics.placement import placements_of


@dataclass(frozen=True, slots=True)
class View:
    """`forward` is the sign of y on the page: 1 for the lower jaw (down the page), -1 for the upper."""

    forward: float

    @classmethod
    def of(cls, layout: Layout) -> View:
        """The view of a jaw."""
        return cls(float(layout.out[2]))

    def seen(self, point: Vector) -> XY:
        """A point of the patient on the page."""
        return float(point[0]), self.forward * float(point[1])

    def flat(self, point: Point) -> XY:
        """A position or direction (x, y) on the page."""
        return point.x_mm, self.forward * point.y_mm

    def along(self, direction: Vector) -> XY:
        """A direction on the page, unit length; a bar that stands upright counts as lying across."""
        x, y = self.seen(direction)
        length = float(np.hypot(x, y))
        return (x / length, y / length) if length > 1e-9 else (1.0, 0.0)

    def oblique(self, point: Vector, rise_mm: float = 0.0) -> XY:
        """A point seen a little from the front, raised by `rise_mm`: depth shortened, heights at full length."""
        x, y = self.seen(point)
        return x, DEPTH * y - float(point[2]) - rise_mm


DEPTH = 0.45
"""How much a depth is shortened in the oblique view."""


def base_curve(base: Base, arch: Arch) -> list[Vector]:
    """Tooth line in outline: the usual arch of the jaw, bent to pass through the three points of the base."""
    curve = DEFAULT_CURVES[arch]
    reach_mm = Tooth.from_fdi(_LAST_TOOTH[arch]).arc_mm

    def usual(u: float) -> Vector:
        return np.array([*curve.at(u * reach_mm), 0.0])

    off = {u: point - usual(u) for u, point in ((-1, base.right), (0, base.front), (1, base.left))}
    points = []
    for u in np.linspace(-1.0, 1.0, _STEPS + 1):
        bend = off[-1] * u * (u - 1) / 2 + off[0] * (1 - u**2) + off[1] * u * (u + 1) / 2
        points.append(usual(float(u)) + bend)
    return points


_STEPS = 32
_LAST_TOOTH = {"lower": 36, "upper": 26}


def base_band(base: Base) -> list[Vector]:
    """Outline of a base from the right heel to the left and back: its border, then as far inside the ridge."""
    border = np.array(base.border)
    return [*_smooth(border), *reversed(_smooth(2 * np.array(base.ridge) - border))]


def _smooth(corners: Vector) -> list[Vector]:
    """A curve through all corners (Catmull and Rom), straight on past the first and the last."""
    first, last = 2 * corners[0] - corners[1], 2 * corners[-1] - corners[-2]
    along = np.vstack([first, corners, last])
    u = np.linspace(0.0, 1.0, _STEPS // 8, endpoint=False)[:, np.newaxis]
    points = []
    for a, b, c, d in zip(along, along[1:], along[2:], along[3:], strict=False):
        points += [*(b + u / 2 * (c - a) + u**2 * (a - 2.5 * b + 2 * c - d / 2) + u**3 / 2 * (3 * (b - c) + d - a))]
    return [*points, corners[-1]]


def parts_at(candidate: Candidate, play: Play) -> list[Vector]:
    """Where each part of a candidate sits; a bare end is one place."""
    return [placement.at for placement in placements_of(candidate, play)] or [candidate.site.at]
