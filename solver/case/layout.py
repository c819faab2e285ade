"""Where everything is: supports, segments, ends and the base, from the positions of a case.

Patient frame: x to the patient's left, y forwards, z up, mm.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.case.base import base_of, on_crest
from solver.case.schema import Case, End, Segment, Support

Vector = NDArray[np.float64]

SAME_WAY = 0.9998
"""Cosine of about one degree: two bars from one support that lie closer than this would run through each other."""


class Layout:
    """Positions and axes of one case, worked out once."""

    def __init__(self, case: Case) -> None:
        self.out = np.array([0.0, 0.0, 1.0 if case.arch == "lower" else -1.0])
        self.supports = {name: _support_at(support) for name, support in case.supports.items()}
        self._diameter_mm = {name: support.diameter_mm for name, support in case.supports.items()}
        self._segments = case.segments
        self.ends = {name: self._end_at(end) for name, end in case.ends.items()}
        self.base = base_of(case)

    def line(self, segment: Segment) -> tuple[Vector, Vector]:
        """Centres of the two supports that a segment joins."""
        return self.supports[segment.between[0]], self.supports[segment.between[1]]

    def direction(self, segment: Segment) -> Vector:
        """Unit vector along a segment."""
        return _unit(np.subtract(*reversed(self.line(segment))))

    def clear_length_mm(self, segment: Segment, default_diameter_mm: float) -> float:
        """Length of bar between the collars of its supports."""
        collars = sum((self._diameter_mm[name] or default_diameter_mm) / 2 for name in segment.between)
        return float(np.linalg.norm(np.subtract(*self.line(segment)))) - collars

    def apart_mm(self, one: str, two: str) -> float:
        """Distance between two supports."""
        return float(np.linalg.norm(self.supports[one] - self.supports[two]))

    def end_direction(self, end: End) -> Vector:
        """Outward along an end."""
        if end.at_mm is not None:
            return _unit(np.array(end.at_mm) - self.supports[end.on])
        segment = next(s for s in self._segments.values() if end.on in s.between)
        outward = self.direction(segment)
        return outward if segment.between[1] == end.on else -outward

    def support_direction(self, name: str) -> Vector:
        """Along the arch at a support: towards its neighbours, or across the jaw where it stands alone."""
        towards = [self.supports[n] - self.supports[name] for n in self.supports if n != name]
        nearest = min(towards, key=lambda v: float(np.linalg.norm(v)), default=np.array([1.0, 0.0, 0.0]))
        return _unit(nearest)

    def _end_at(self, end: End) -> Vector:
        if end.at_mm is not None:
            return np.array(end.at_mm)
        return self.supports[end.on] + end.length_mm * self.end_direction(end)


def segments_cross(layout: Layout, one: Segment, two: Segment) -> bool:
    """True where two segments meet seen from above, other than at a support they share."""
    shared = set(one.between) & set(two.between)
    if len(shared) == 2:
        return True
    if shared:
        return _overlap(layout, shared.pop(), one, two)
    (a, b), (c, d) = layout.line(one), layout.line(two)
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _overlap(layout: Layout, shared: str, one: Segment, two: Segment) -> bool:
    """True where two segments leave the support they share in one direction, so that one lies on the other."""
    ends = [next(name for name in segment.between if name != shared) for segment in (one, two)]
    leaves = [_unit(layout.supports[end] - layout.supports[shared]) for end in ends]
    return float(leaves[0] @ leaves[1]) > SAME_WAY


def _turn(a: Vector, b: Vector, c: Vector) -> float:
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def _unit(vector: Vector) -> Vector:
    length = float(np.linalg.norm(vector))
    return vector / length if length else np.array([1.0, 0.0, 0.0])


def _support_at(support: Support) -> Vector:
    if support.at_mm is not None:
        return np.array(support.at_mm)
    assert support.tooth is not None  # the case model sees to it
    return on_crest(support.tooth)


def cross(one: Vector, two: Vector) -> Vector:
    """The cross product of two vectors; that of numpy, made for many at once, takes ten times as long."""
    (a, b, c), (x, y, z) = one.tolist(), two.tolist()
    return np.array([b * z - c * y, c * x - a * z, a * y - b * x])
