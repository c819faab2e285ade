"""A point in the plan view, mm, and a load at one."""

from __future__ import annotations

from typing import NamedTuple


class Point(NamedTuple):
    """A position (x, y) in the patient frame: x to the patient's left, y forwards."""

    x_mm: float
    y_mm: float


class PointLoad(NamedTuple):
    """A vertical load at a point, positive where it presses."""

    x_mm: float
    y_mm: float
    force_n: float
