"""The four section shapes of prefabricated and milled bars: distance of points, outline, start values.

All functions take many sections at once: `theta` has shape (S, K), points have shape (S, M). x is along l, y along v.
Parameters, mm and rad; `turn` is the roll of the section about the bar axis:
  round     x, y, radius
  ovoid     x, y, turn, half width, height above and below the widest chord (two half ellipses)
  parallel  x, y, turn, half width, half height, top and bottom corner radius, wall taper (slope of each wall)
  keyhole   x, y, turn, head radius, half width of the stem, head centre to underside
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from solver.scan.surface.mesh import Array, Flags

OUTLINE_POINTS = 240


class Kind(StrEnum):
    """Section kinds."""

    ROUND = "round"
    OVOID = "ovoid"
    PARALLEL = "parallel"
    KEYHOLE = "keyhole"


HEAD = {Kind.ROUND: 2, Kind.KEYHOLE: 3}  # the parameter that is the radius of a round head


class Shape(NamedTuple):
    """What a section kind can do. `start` takes (S, 4) extents left, right, bottom, top."""

    distance: Callable[[Array, Array, Array], Array]
    outline: Callable[[Array], Array]
    start: Callable[[Array], Array]
    plausible: Callable[[Array], Flags]


def _columns(theta: Array) -> list[Array]:
    return [theta[:, k, None] for k in range(theta.shape[1])]


def _local(theta: Array, x: Array, y: Array) -> tuple[Array, Array]:
    """Points in the turned frame of the section."""
    x0, y0, turn = _columns(theta)[:3]
    cos, sin = np.cos(turn), np.sin(turn)
    return cos * (x - x0) + sin * (y - y0), cos * (y - y0) - sin * (x - x0)


def _placed(theta: Array, x: Array, y: Array) -> Array:
    """Local outline points put back, shape (S, Q, 2)."""
    x0, y0, turn = _columns(theta)[:3]
    cos, sin = np.cos(turn), np.sin(turn)
    return np.stack([x0 + cos * x - sin * y, y0 + sin * x + cos * y], axis=2)


def round_distance(theta: Array, x: Array, y: Array) -> Array:
    """Signed distance to the circle."""
    x0, y0, radius = _columns(theta)
    distance: Array = np.hypot(x - x0, y - y0) - radius
    return distance


def round_outline(theta: Array) -> Array:
    """Points on the circle."""
    angle = np.linspace(0.0, 2 * np.pi, OUTLINE_POINTS, endpoint=False)
    x0, y0, radius = _columns(theta)
    return np.stack([x0 + radius * np.cos(angle), y0 + radius * np.sin(angle)], axis=2)


def round_start(extents: Array) -> Array:
    """Circle of the same width and top (a hidden underside does not mislead it)."""
    left, right, _, top = extents.T
    radius = (right - left) / 2
    return np.stack([(left + right) / 2, top - radius, radius], axis=1)


def ovoid_distance(theta: Array, x: Array, y: Array) -> Array:
    """Signed distance to the two half ellipses, to first order in the distance (f / |grad f|)."""
    across, along = _local(theta, x, y)
    _, _, _, half, up, down = _columns(theta)
    height = np.where(along > 0, up, down)
    level = np.hypot(across / half, along / height)
    slope = np.hypot(across / half**2, along / height**2)
    distance: Array = level * (level - 1.0) / np.maximum(slope, 1e-9)
    return distance


def ovoid_outline(theta: Array) -> Array:
    """Points on the two half ellipses."""
    angle = np.linspace(0.0, 2 * np.pi, OUTLINE_POINTS, endpoint=False)
    _, _, _, half, up, down = _columns(theta)
    return _placed(theta, half * np.cos(angle), np.where(np.sin(angle) > 0, up, down) * np.sin(angle))


def ovoid_start(extents: Array) -> Array:
    """Ellipse in the box of the extents."""
    left, right, bottom, top = extents.T
    half, up = (right - left) / 2, (top - bottom) / 2
    return np.stack([(left + right) / 2, (top + bottom) / 2, 0 * half, half, up, up], axis=1)


def _corners(theta: Array) -> tuple[Array, ...]:
    _, _, _, half, up, top, bottom, taper = _columns(theta)
    least = np.minimum(half, up)
    return half, up, np.clip(top, 0.0, least), np.clip(bottom, 0.0, least), taper


def parallel_distance(theta: Array, x: Array, y: Array) -> Array:
    """Signed distance to the rounded box, its walls leaning in by `taper` (exact for taper 0)."""
    across, along = _local(theta, x, y)
    half, up, top, bottom, taper = _corners(theta)
    corner = np.where(along > 0, top, bottom)
    right = np.abs(across) + taper * along - half + corner
    high = np.abs(along) - up + corner
    beyond = np.hypot(np.maximum(right, 0.0), np.maximum(high, 0.0))
    distance: Array = np.minimum(np.maximum(right, high), 0.0) + beyond - corner
    return distance


def parallel_outline(theta: Array) -> Array:
    """Points on the rounded box: four corner arcs and the four lines between them."""
    half, up, top, bottom, taper = _corners(theta)
    quarter = np.linspace(0.0, np.pi / 2, OUTLINE_POINTS // 8)
    walls, lids = np.linspace(-1.0, 1.0, OUTLINE_POINTS // 8 + 2)[1:-1], np.linspace(1.0, -1.0, 32)[1:-1]
    arcs = []
    for corner, first, lean in ((top, 0.0, 1), (bottom, np.pi * 1.5, -1)):
        angle = first + quarter
        arcs.append((half - corner + corner * np.cos(angle), lean * (up - corner) + corner * np.sin(angle)))
    flat = np.ones_like(half)
    wall_low, wall_high = -(up - bottom), up - top
    wall = (flat * half, (wall_low + wall_high) / 2 + (wall_high - wall_low) / 2 * walls)
    lid = ((half - top) * lids, flat * up + 0 * lids)
    foot = (-(half - bottom) * lids, -flat * up + 0 * lids)
    x = np.concatenate(
        [wall[0] + 0 * walls, arcs[0][0], lid[0], -arcs[0][0][:, ::-1], -wall[0] + 0 * walls,
         -arcs[1][0][:, ::-1], foot[0], arcs[1][0]], axis=1)  # fmt: skip
    y = np.concatenate(
        [wall[1], arcs[0][1], lid[1], arcs[0][1][:, ::-1], wall[1][:, ::-1],
         arcs[1][1][:, ::-1], foot[1], arcs[1][1]], axis=1)  # fmt: skip
    return _placed(theta, x - np.sign(x) * taper * y, y)


def parallel_start(extents: Array) -> Array:
    """Box of the extents with corners rounded by half of its half width."""
    left, right, bottom, top = extents.T
    half, up = (right - left) / 2, (top - bottom) / 2
    corner = 0.5 * np.minimum(half, up)
    return np.stack([(left + right) / 2, (top + bottom) / 2, 0 * half, half, up, corner, corner, 0 * half], axis=1)


def keyhole_distance(theta: Array, x: Array, y: Array) -> Array:
    """Signed distance to the round head joined with the stem."""
    across, along = _local(theta, x, y)
    _, _, _, head, stem, down = _columns(theta)
    right, high = np.abs(across) - stem, np.abs(along + down / 2) - down / 2
    box = np.minimum(np.maximum(right, high), 0.0) + np.hypot(np.maximum(right, 0.0), np.maximum(high, 0.0))
    distance: Array = np.minimum(np.hypot(across, along) - head, box)
    return distance


def keyhole_outline(theta: Array) -> Array:
    """Points on the head from throat to throat, down the stem and along its underside."""
    _, _, _, head, stem, down = _columns(theta)
    narrow = np.minimum(stem, 0.999 * head)
    throat = -np.arccos(np.clip(narrow / head, 0.0, 1.0))
    share = np.linspace(0.0, 1.0, OUTLINE_POINTS // 2)
    angle = throat + (np.pi - 2 * throat) * share
    side, foot = (
        np.linspace(0.0, 1.0, OUTLINE_POINTS // 6 + 2)[1:-1],
        np.linspace(-1.0, 1.0, OUTLINE_POINTS // 6),
    )
    neck = head * np.sin(throat)
    wall = neck + (-down - neck) * side
    x = np.concatenate([head * np.cos(angle), -narrow + 0 * side, narrow * foot, narrow + 0 * side], axis=1)
    y = np.concatenate([head * np.sin(angle), wall, -down + 0 * foot, wall[:, ::-1]], axis=1)
    return _placed(theta, x, y)


def keyhole_start(extents: Array) -> Array:
    """Round head as wide as the section at its top, stem of 0.6 of it down to the underside."""
    left, right, bottom, top = extents.T
    head = (right - left) / 2
    down = np.maximum(top - head - bottom, 1.05 * head)
    return np.stack([(left + right) / 2, top - head, 0 * head, head, 0.6 * head, down], axis=1)


SHAPES: dict[Kind, Shape] = {
    Kind.ROUND: Shape(round_distance, round_outline, round_start, lambda theta: theta[:, 2] > 0.2),
    Kind.PARALLEL: Shape(
        parallel_distance,
        parallel_outline,
        parallel_start,
        lambda theta: (theta[:, 3] > 0.2) & (theta[:, 4] > 0.2) & _straight_walls(theta),
    ),
    Kind.OVOID: Shape(
        ovoid_distance,
        ovoid_outline,
        ovoid_start,
        lambda theta: (theta[:, 3] > 0.2) & (theta[:, 4:6].min(axis=1) > 0.1) & _out_of_round(theta),
    ),
    Kind.KEYHOLE: Shape(
        keyhole_distance,
        keyhole_outline,
        keyhole_start,
        lambda theta: (theta[:, 4] < 0.97 * theta[:, 3]) & (theta[:, 4] > 0.1) & (theta[:, 5] > 1.05 * theta[:, 3]),
    ),
}


def _straight_walls(theta: Array) -> Flags:
    """At least a tenth of the height, or a tenth of the width, is straight: else it is an ovoid or a circle."""
    half, up, top, bottom, _ = (column[:, 0] for column in _corners(theta))
    plain: Flags = (2 * up - top - bottom > 0.2 * up) | (2 * half - top - bottom > 0.4 * half)
    return plain


def _out_of_round(theta: Array) -> Flags:
    """Height and width differ by more than 3 % (less is a worn or badly scanned circle)."""
    half, up, down = theta[:, 3], theta[:, 4], theta[:, 5]
    uneven: Flags = (np.abs((up + down) / (2 * half) - 1) > 0.03) | (np.abs(up - down) > 0.06 * half)
    return uneven
