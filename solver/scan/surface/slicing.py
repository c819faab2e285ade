"""Cut a triangle surface by many parallel planes in one pass, and spread points along the cuts."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solver.scan.surface.mesh import Array, Flags, Ints


class Frame(NamedTuple):
    """A straight axis and the two directions across it (brief: l = out x a, v = a x l)."""

    origin: Array
    a: Array
    l: Array  # noqa: E741 (the trade's own letter for the sideways axis)
    v: Array

    def flat(self, points: Array) -> Array:
        """(l, v) coordinates of `points`, shape (..., 2)."""
        return (points - self.origin) @ np.stack([self.l, self.v], axis=1)

    def along(self, points: Array) -> Array:
        """Coordinate of `points` along the axis."""
        stations: Array = (points - self.origin) @ self.a
        return stations


class Cuts(NamedTuple):
    """Points on the cuts: which plane, where in the plane (l, v), and the length of cut each stands for."""

    plane: Ints
    at: Array
    weight_mm: Array
    facet_mm: Array  # length of the cut through the triangle that the point lies on


def unit(vector: Array) -> Array:
    """`vector` at length 1."""
    return vector / np.linalg.norm(vector)


def frame_for(origin: Array, axis: Array, out: Array) -> Frame:
    """Local axes at `origin`: a along `axis`, l = out x a, v = a x l, all of length 1."""
    a = unit(axis)
    sideways = unit(np.cross(out, a))
    return Frame(origin, a, sideways, np.cross(a, sideways))


def across(axis: Array) -> Array:
    """Some direction square to `axis`: for sections whose turn about the axis does not matter."""
    return unit(np.cross(axis, np.eye(3)[np.argmin(np.abs(axis))]))


def cut(triangles: Array, frame: Frame, stations: Array, spacing_mm: float, window_mm: float) -> Cuts:
    """Cut by the planes square to the axis at evenly spaced `stations` (mm along it).

    Points lie about `spacing_mm` apart on each cut; cuts further than `window_mm` from the axis are left out.
    Cost: one pass over the triangles plus the number of triangle-plane pairs.
    """
    step = float(stations[1] - stations[0]) if len(stations) > 1 else 1.0
    height = (frame.along(triangles) - stations[0]) / step
    first = np.ceil(height.min(axis=1)).clip(0).astype(np.intp)
    last = np.floor(height.max(axis=1)).clip(-1, len(stations) - 1).astype(np.intp)
    count = (last - first + 1).clip(0)
    owner = np.repeat(np.arange(len(triangles)), count)
    plane = first[owner] + np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    ends, real = _crossings(frame.flat(triangles[owner]), height[owner] - plane[:, None])
    kept = real & (np.abs(ends).max(axis=(1, 2)) <= 3 * window_mm)
    return _spread(plane[kept], ends[kept], spacing_mm, window_mm)


def _crossings(flat: Array, height: Array) -> tuple[Array, Flags]:
    """The two points where each triangle meets its plane, shape (k, 2, 2), and whether they exist."""
    above = height > 0.0
    lone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), (~above).argmax(axis=1))
    rows = np.arange(len(flat))
    ends = np.empty((len(flat), 2, 2))
    for slot, step in enumerate((1, 2)):
        other = (lone + step) % 3
        low, high = height[rows, lone], height[rows, other]
        share = low / np.where(low == high, 1.0, low - high)
        ends[:, slot] = flat[rows, lone] + share[:, None] * (flat[rows, other] - flat[rows, lone])
    real: Flags = np.logical_and(above.any(axis=1), ~above.all(axis=1))
    return ends, real


def _spread(plane: Ints, ends: Array, spacing_mm: float, window_mm: float) -> Cuts:
    """Points evenly along each cut, each standing for its share of the length."""
    length = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    pieces = np.ceil(length / spacing_mm).clip(1).astype(np.intp)
    owner = np.repeat(np.arange(len(ends)), pieces)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    share = ((number + 0.5) / pieces[owner])[:, None]
    at = ends[owner, 0] * (1 - share) + ends[owner, 1] * share
    inside = np.hypot(at[:, 0], at[:, 1]) <= window_mm
    return Cuts(plane[owner][inside], at[inside], (length / pieces)[owner][inside], length[owner][inside])
