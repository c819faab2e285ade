"""Which parts of an outline the scan covers, and so which figures may be stated at all."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

from solver.scan.section.shapes import HEAD, Kind
from solver.scan.section.undercut import FOOT_MM
from solver.scan.surface.mesh import Array, Flags
from solver.scan.surface.slicing import Cuts

COVERED_MM = 0.13  # an outline point is covered when the scan comes this near
EXTREME_MM = 0.02  # outline points this near to the furthest one carry the width or height


class Seen(NamedTuple):
    """Which figures of a section rest on covered parts of its outline."""

    width: bool
    height: bool
    head: bool
    left: bool
    right: bool
    underside: bool


def covered_points(outline: Array, own: Cuts) -> Flags:
    """Whether the scan comes near each outline point, shape (S, Q)."""
    far = 1000.0
    tree = cKDTree(np.column_stack([own.plane * far, own.at]))
    planes = np.repeat(np.arange(len(outline)) * far, outline.shape[1])
    places = np.column_stack([planes, outline.reshape(-1, 2)])
    distance = tree.query(places, distance_upper_bound=2 * COVERED_MM)[0]
    near: Flags = (distance < COVERED_MM).reshape(outline.shape[:2])
    return near


def covered_share(outline: Array, covered: Flags) -> Array:
    """Share of the length of each outline that is covered, shape (S,)."""
    length = np.linalg.norm(np.roll(outline, -1, axis=1) - outline, axis=2)
    share: Array = (length * covered).sum(axis=1) / length.sum(axis=1).clip(1e-9)
    return share


def seen_figures(outline: Array, covered: Flags, kind: Kind, theta: Array) -> Seen:
    """Coverage of what carries each figure: two extremes, the upper head, each side below its contour."""
    x, y = outline[:, 0], outline[:, 1]
    left, right, top, low = (_mostly(covered, reach >= reach.max() - EXTREME_MM) for reach in (x, -x, y, -y))
    upper = y > y.max() - 1.5 * abs(float(theta[HEAD[kind]])) if kind in HEAD else np.ones(len(y), dtype=bool)
    middle = (x.max() + x.min()) / 2
    sides = [
        _mostly(covered, side & (y <= y[reach.argmax()] + 0.1) & (y >= y.min() + FOOT_MM / 2), 0.8)
        for side, reach in ((x > middle, x), (x < middle, -x))
    ]
    # an undercut ends a set height above the underside: where that is not seen, the depth is a guess of the fit
    undercuts = (left and low and sides[0], right and low and sides[1])
    return Seen(left and right, top and low, _mostly(covered, upper, 0.6), *undercuts, low)


def _mostly(covered: Flags, part: Flags, least: float = 0.5) -> bool:
    return bool(part.any() and covered[part].mean() >= least)
