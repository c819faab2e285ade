"""How far a section falls back below its widest level, and the direction in which it does so least.

Undercut depth on a side: widest reach sideways less the least reach below that level, down to FOOT_MM above the
underside. The lowest FOOT_MM is left out because no clip arm ends there and a rounded lower corner is no undercut
(choice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solver.scan.surface.mesh import Array
from solver.scan.surface.slicing import unit

FOOT_MM = 0.2
LEVELS = 9


def undercut(outline: Array) -> tuple[Array, Array]:
    """Depth on the +l side and on the -l side of outlines, shape (S, Q, 2), each result (S,)."""
    mirrored = outline * [-1.0, 1.0]
    return _one_side(outline), _one_side(mirrored)


def _one_side(outline: Array) -> Array:
    x, y = outline[:, :, 0], outline[:, :, 1]
    widest = x.max(axis=1)
    # with a straight wall the height of contour is its lowest widest point
    contour = np.where(x >= widest[:, None] - 1e-6, y, np.inf).min(axis=1)
    foot = np.minimum(y.min(axis=1) + FOOT_MM, contour)
    levels = foot[:, None] + (contour - foot)[:, None] * np.linspace(0.0, 1.0, LEVELS)
    fallback: Array = (widest[:, None] - _reach(x, y, levels)).max(axis=1)
    return fallback.clip(0.0)


def _reach(x: Array, y: Array, levels: Array) -> Array:
    """Furthest +l point of each outline at each level, shape (S, L)."""
    x2, y2 = np.roll(x, -1, axis=1), np.roll(y, -1, axis=1)
    low, rise = (levels[:, :, None] - y[:, None, :]), (y2 - y)[:, None, :]
    share = low / np.where(rise == 0.0, 1.0, rise)
    crosses = (share >= 0.0) & (share <= 1.0) & (rise != 0.0)
    reach = np.where(crosses, x[:, None, :] + share * (x2 - x)[:, None, :], -np.inf).max(axis=2)
    found: Array = np.where(np.isfinite(reach), reach, x.max(axis=1)[:, None])
    return found


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """One segment's typical outline with its frame directions: a along, l sideways, v out."""

    outline: Array
    a: Array
    l: Array  # noqa: E741 (the trade's own letter)
    v: Array


@dataclass(frozen=True, slots=True)
class Draw:
    """A common direction of draw, the worst undercut left in it, and how well the shapes fix it."""

    out: tuple[float, float, float]
    worst_undercut_mm: float
    loose_deg: float  # directions up to this far from `out` are as good within 10 micrometres


def worst_undercut(profiles: Sequence[Profile], out: Array) -> float:
    """The deepest undercut of any segment on any side in the direction `out`."""
    depths = []
    for profile in profiles:
        turn = np.arctan2(float(out @ profile.l), float(out @ profile.v))
        cos, sin = np.cos(turn), np.sin(turn)
        turned = profile.outline @ np.array([[cos, sin], [-sin, cos]])
        depths.append(max(side[0] for side in undercut(turned[None])))
    return float(max(depths))


def best_draw(profiles: Sequence[Profile], start: Array, reach_deg: float = 24.0) -> Draw:
    """The direction within `reach_deg` of `start` in which the deepest undercut is least (grid, halved six times).

    Where several do equally well (a round bar), the one nearest to `start` is taken and `loose_deg` says so.
    """
    side = unit(np.cross(start, np.eye(3)[np.argmin(np.abs(start))]))
    other = np.cross(start, side)

    def direction(tilt: Array) -> Array:
        return unit(start + np.tan(np.radians(tilt[0])) * side + np.tan(np.radians(tilt[1])) * other)

    best, width = np.zeros(2), reach_deg / 2
    least = worst_undercut(profiles, start)
    while width > 0.05:
        for step in [np.array([i, j]) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]:
            tilt = best + width * step
            depth = worst_undercut(profiles, direction(tilt))
            if np.abs(tilt).max() <= reach_deg and depth < least - 5e-4:
                best, least = tilt, depth
                break
        else:
            width /= 2
    found = direction(best)
    x, y, z = (float(c) for c in found)
    return Draw((x, y, z), least, _looseness(profiles, found, side, other, least))


def _looseness(profiles: Sequence[Profile], found: Array, side: Array, other: Array, least: float) -> float:
    """Largest tilt out of 1, 2, 4, 8, 16 deg, in any of eight ways, that costs less than 10 micrometres."""
    loose = 0.0
    for tilt in (1.0, 2.0, 4.0, 8.0, 16.0):
        for way in np.arange(8) * np.pi / 4:
            aside = np.cos(way) * side + np.sin(way) * other
            if worst_undercut(profiles, unit(found + np.tan(np.radians(tilt)) * aside)) < least + 0.01:
                loose = tilt
    return loose
