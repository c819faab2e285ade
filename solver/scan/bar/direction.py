"""Which way is out, as far as the scan itself shows it."""

from __future__ import annotations

import numpy as np

from solver.scan.bar.centreline import Line
from solver.scan.errors import BadDirection, OutNotShown
from solver.scan.surface.mesh import Array, Mesh, sample
from solver.scan.surface.slicing import unit

FLAT = 0.17  # sine of the least angle between segments that shows the plane of the bar (10 deg)
LEAST_BELOW = 0.03  # share of the surface that must lie on one side to show where the mucosa is
SHORTEST_MM = 2.5  # of a segment as seen; nor may it be shorter than it is wide (the head of a post is)
UPRIGHT = 0.7  # cosine to the normal of the bar's plane above which a stretch is a post and no segment


def checked_direction(what: str, direction: object) -> Array:
    """A direction of length 1; raises `BadDirection`."""
    vector = np.asarray(direction, dtype=float)
    if vector.shape != (3,) or not np.isfinite(vector).all():
        raise BadDirection(what, f"`{direction}` is no direction")
    if np.linalg.norm(vector) < 1e-9:
        raise BadDirection(what, "its length is 0")
    return unit(vector)


def split_posts(lines: list[Line], out: Array | None) -> tuple[list[Line], list[Line]]:
    """(segments, posts): posts stand along `out`, or square to the long stretches."""
    if not lines:
        return [], []
    length = np.array([line.high - line.low for line in lines])
    if out is not None:
        upright = [abs(float(line.a @ out)) > UPRIGHT for line in lines]
    else:
        long = [line for line, size in zip(lines, length, strict=True) if size > 0.4 * length.max()]
        normal = plane_normal(long)
        main = lines[int(length.argmax())].a
        upright = [
            abs(float(line.a @ normal)) > UPRIGHT if normal is not None else abs(float(line.a @ main)) < 0.4
            for line in lines
        ]
    bars = [
        line
        for line, is_post, seen in zip(lines, upright, length, strict=True)
        if not is_post and seen > max(SHORTEST_MM, line.size_mm)
    ]
    return bars, [line for line, is_post in zip(lines, upright, strict=True) if is_post]


def plane_normal(bars: list[Line]) -> Array | None:
    """Normal (either way) of the plane of the segments; None where they are all but parallel."""
    ways = np.array([line.a for line in bars])
    values, vectors = np.linalg.eigh(ways.T @ ways)
    if len(bars) < 2 or values[1] < FLAT**2 / 2 or values[0] > 0.3 * values[1]:
        return None
    normal: Array = vectors[:, 0]
    return normal


def show_out(mesh: Mesh, bars: list[Line], posts: list[Line]) -> Array:
    """Path of removal shown by posts, by the plane of the bar and by what lies beneath; raises `OutNotShown`."""
    below = _beneath(mesh, bars)
    normal = plane_normal(bars)
    if normal is None and posts:
        ways = np.array([line.a * np.sign(line.a @ posts[0].a) for line in posts])
        normal = unit(ways.mean(axis=0))
    if below is None:
        raise OutNotShown(len(bars))
    if normal is None:
        main = bars[0].a
        normal = below - (below @ main) * main
        if np.linalg.norm(normal) < 0.5 * np.linalg.norm(below):
            raise OutNotShown(len(bars))
        normal = unit(normal)
    return unit(-normal * np.sign(normal @ below))


def _beneath(mesh: Mesh, bars: list[Line]) -> Array | None:
    """Mean arm from the bar to the surface that is not the bar; None where there is next to none."""
    points = sample(mesh, 0.4, 8000)
    nearest, arms = np.full(len(points), np.inf), np.zeros_like(points)
    for line in bars:
        along = ((points - line.origin) @ line.a).clip(line.low - 3, line.high + 3)
        arm = points - line.origin - along[:, None] * line.a
        reach = np.linalg.norm(arm, axis=1)
        closer = reach < nearest
        nearest[closer], arms[closer] = reach[closer], arm[closer]
    foreign = (nearest > 0.6 * max(line.size_mm for line in bars) + 0.4) & (nearest < 12.0)
    if foreign.mean() < LEAST_BELOW:
        return None
    mean: Array = arms[foreign].mean(axis=0)
    return mean if np.linalg.norm(mean) > 0.5 else None
