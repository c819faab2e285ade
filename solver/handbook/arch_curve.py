"""Curves for the form of a dental arch, and points at a length along them.

Patient frame seen from above: x to the patient's left, y forwards, mm. A curve starts and ends on y = 0, at x
= -width/2 and x = +width/2, and has its front at (0, depth). Lengths along it are counted from the front,
towards the patient's left. Past its ends an arch runs straight on along the end tangent. More curves:
`tests.published.formulas.arch_forms`.
"""

from __future__ import annotations

import math
from abc import ABC, abstractmethod
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from solver.handbook.checks import check_finite, check_positive
from solver.handbook.point import Point

Array: TypeAlias = NDArray[np.float64]

_CHORDS_PER_SIDE = 4000
"""This many chords stand for half an arch: its length comes out right to about 1e-5 mm."""


class Direction(NamedTuple):
    """A direction of length 1 seen from above."""

    x: float
    y: float


@dataclass(frozen=True)
class ArchCurve(ABC):
    """An arch of a given width at its ends and depth from there to its front.

    Raises:
        OutOfDomain: where a measure is not finite and above zero.
    """

    width_mm: float
    depth_mm: float

    def __post_init__(self) -> None:
        check_positive(width_mm=self.width_mm, depth_mm=self.depth_mm)

    @abstractmethod
    def forward_mm(self, x_mm: Array) -> Array:
        """Return y at each x, |x| <= width/2."""

    @abstractmethod
    def heading(self, x_mm: float) -> tuple[float, float]:
        """Return the tangent (dx, dy) at x, of any length, dx >= 0."""

    @property
    def length_mm(self) -> float:
        """Length from end to end."""
        return 2.0 * float(self._arcs_mm[-1])

    def at(self, arc_mm: float) -> Point:
        """Return the point at a length along the arch: from the front, positive to the patient's left.

        Raises:
            OutOfDomain: where the length is not finite.
        """
        check_finite(arc_mm=arc_mm)
        arc_on_curve_mm = min(max(arc_mm, -self.length_mm / 2.0), self.length_mm / 2.0)
        x, y = (float(np.interp(arc_on_curve_mm, self._arcs_mm, column)) for column in self._points.T)
        ahead, past_end_mm = self.direction(arc_mm), arc_mm - arc_on_curve_mm
        return Point(x + past_end_mm * ahead.x, y + past_end_mm * ahead.y)

    def direction(self, arc_mm: float) -> Direction:
        """Return the tangent at a length along the arch, in the sense of growing length. Raises as `at` does."""
        check_finite(arc_mm=arc_mm)
        dx, dy = self.heading(float(np.interp(arc_mm, self._arcs_mm, self._points[:, 0])))
        return Direction(dx / math.hypot(dx, dy), dy / math.hypot(dx, dy))

    @cached_property
    def _points(self) -> Array:
        # Equal angles crowd the samples at the ends, where the beta curve turns straight back.
        side = self.width_mm / 2.0 * np.sin(np.linspace(0.0, np.pi / 2.0, _CHORDS_PER_SIDE + 1))
        x = np.concatenate([-side[:0:-1], side])
        return np.column_stack([x, self.forward_mm(x)])

    @cached_property
    def _arcs_mm(self) -> Array:
        chords = np.hypot(*np.diff(self._points[_CHORDS_PER_SIDE:], axis=0).T)
        side = np.concatenate([[0.0], np.cumsum(chords)])
        return np.concatenate([-side[:0:-1], side])


class BetaCurve(ArchCurve):
    """Beta function: y = 3.0314 D ((1/2 + x/W) (1/2 - x/W))^0.8.

    Braun, Hnat, Fender and Legan, Angle Orthodontist 1998;68(1):29-36. The paper's abstract was read, the
    coefficients are from memory; the factor is 4^0.8 to five figures, so that y(0) = D.
    """

    _FACTOR, _POWER = 3.0314, 0.8

    def forward_mm(self, x_mm: Array) -> Array:
        """Return y at each x, |x| <= width/2."""
        return self._FACTOR * self.depth_mm * self._inside(x_mm / self.width_mm) ** self._POWER

    def heading(self, x_mm: float) -> tuple[float, float]:
        """Return the tangent (1, dy/dx), scaled to stay finite at the ends, where it points straight back."""
        share = x_mm / self.width_mm
        slope = -2.0 * share * self._POWER * self._FACTOR * self.depth_mm / self.width_mm
        return float(self._inside(np.array(share))) ** (1.0 - self._POWER), slope

    @staticmethod
    def _inside(share: Array) -> Array:
        return np.maximum((0.5 + share) * (0.5 - share), 0.0)
