"""A measured figure with its error, or the reason why there is none."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Reason(StrEnum):
    """Why a figure is unknown."""

    NOT_COVERED = "not covered by the scan"
    NO_FIT = "no known shape fits"
    NOT_IN_SCAN = "not in the scan"
    NOT_APPLICABLE = "this shape has none"
    OUT_NOT_SHOWN = "path of removal not shown"
    TOO_FEW = "too few segments"


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with a symmetric error meant to hold the truth in at least 9 of 10 cases.

    The error covers mesh resolution, fit residual and disagreement between neighbours. It does not cover
    the trueness of the scanner itself, which a mesh cannot show.
    """

    value: float
    error: float

    @property
    def low(self) -> float:
        """Lower end of the error band."""
        return self.value - self.error

    @property
    def high(self) -> float:
        """Upper end of the error band."""
        return self.value + self.error

    def holds(self, truth: float) -> bool:
        """Whether `truth` lies within the stated error."""
        return abs(self.value - truth) <= self.error


@dataclass(frozen=True, slots=True)
class Unknown:
    """No figure, and why."""

    reason: Reason


Measured = Figure | Unknown


def known(figures: Iterable[Measured]) -> list[Figure]:
    """The figures that have a value, in order."""
    return [figure for figure in figures if isinstance(figure, Figure)]


def root_sum(*errors: float) -> float:
    """Independent errors combined (root of the sum of squares)."""
    return math.sqrt(sum(error * error for error in errors))
