"""Further curves for the form of a dental arch: parabola, catenary and a curve of the sixth degree."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from solver.handbook.arch_curve import ArchCurve, Array
from solver.handbook.checks import OutOfDomain, check_positive


class Parabola(ArchCurve):
    """Parabola: y = D (1 - 4 x^2 / W^2)."""

    def forward_mm(self, x_mm: Array) -> Array:
        """Return y at each x."""
        return self.depth_mm * (1.0 - 4.0 * (x_mm / self.width_mm) ** 2)

    def heading(self, x_mm: float) -> tuple[float, float]:
        """Return the tangent (1, dy/dx)."""
        return 1.0, -8.0 * self.depth_mm * x_mm / self.width_mm**2


class Catenary(ArchCurve):
    """Hanging chain: y = D - a (cosh(x / a) - 1)."""

    @cached_property
    def parameter_mm(self) -> float:
        """The a of the chain: the solution of a (cosh(W / 2a) - 1) = D."""
        slimness = 2.0 * self.depth_mm / self.width_mm

        def excess(bend: float) -> float:
            return 2.0 * math.sinh(bend / 2.0) ** 2 - slimness * bend

        # With b = W / 2a: e^b / 2 - 1 < cosh(b) - 1 < b^2 cosh(b) / 2 puts the root between these two.
        upper = 2.0 + 2.0 * math.log1p(slimness)
        lower = 2.0 * slimness / (1.0 + math.cosh(upper))
        return self.width_mm / 2.0 / float(brentq(excess, lower, upper))

    def forward_mm(self, x_mm: Array) -> Array:
        """Return y at each x."""
        return self.depth_mm - 2.0 * self.parameter_mm * np.sinh(x_mm / self.parameter_mm / 2.0) ** 2

    def heading(self, x_mm: float) -> tuple[float, float]:
        """Return the tangent (1, dy/dx)."""
        return 1.0, -math.sinh(x_mm / self.parameter_mm)


@dataclass(frozen=True)
class Sextic(ArchCurve):
    """Curve of the sixth degree through the canines and both ends: y = D - (A x^6 + B x^2).

    Noroozi, Nik and Saeeda, Angle Orthodontist 2001;71(5):386-389 (read). The ends stand for the second
    molars; the canines lie `canine_x_mm` from the midline and `canine_back_mm` behind the front.

    Raises:
        OutOfDomain: where a measure is not above zero, or a canine lies no nearer to the midline than the
        ends.
    """

    canine_x_mm: float
    canine_back_mm: float

    def __post_init__(self) -> None:
        ArchCurve.__post_init__(self)
        check_positive(canine_x_mm=self.canine_x_mm, canine_back_mm=self.canine_back_mm)
        if self.canine_x_mm >= self.width_mm / 2.0:
            raise OutOfDomain("canine_x_mm", self.canine_x_mm, "must be less than half the width")

    @cached_property
    def coefficients(self) -> tuple[float, float]:
        """A [mm^-5] and B [mm^-1]."""
        x = np.array([self.canine_x_mm, self.width_mm / 2.0])
        a, b = np.linalg.solve(np.column_stack([x**6, x**2]), [self.canine_back_mm, self.depth_mm])
        return float(a), float(b)

    def forward_mm(self, x_mm: Array) -> Array:
        """Return y at each x."""
        a, b = self.coefficients
        return self.depth_mm - (a * x_mm**6 + b * x_mm**2)

    def heading(self, x_mm: float) -> tuple[float, float]:
        """Return the tangent (1, dy/dx)."""
        a, b = self.coefficients
        return 1.0, -(6.0 * a * x_mm**5 + 2.0 * b * x_mm)
