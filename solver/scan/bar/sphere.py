"""Robust sphere through part of a surface: find it among other shapes, leave worn and foreign parts out, fit."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.spatial import cKDTree

from solver.scan.surface.mesh import SAMPLE_SEED, Array, Flags, Ints

RADIUS_MM = (0.6, 4.0)  # of anything taken for a ball
DRAWS = 500
NEAR_MM = 0.03  # of the sphere through four points, to count as its own
SHELL_MM = 0.3  # points further from the sphere than this are of something else
SHARED = 6  # triangles that share a corner: each corner comes about so often
CELLS = 400  # directions in which the surface is averaged
WORN_MM = 0.012  # a cell this far inside the round shape is worn even on a perfect mesh
FOREIGN_MM = 0.03  # a cell this far outside belongs to neck or debris
LEAST_SHARE = 0.35  # of the sphere that must be there to fit it


class Cells(NamedTuple):
    """The surface of a ball averaged over directions: mean radius, spread of the mean, points in each."""

    way: Array
    radius: Array
    error: Array
    points: Ints


class Sphere(NamedTuple):
    """A fitted sphere; `sound` cells took part; `shape` are the terms of its out-of-round form."""

    centre: Array
    radius: float
    radius_error: float
    centre_error: float
    cells: Cells
    sound: Flags
    off: Array  # radius of each cell less the round shape
    share: float  # of all directions that are sound


def directions(count: int) -> Array:
    """Evenly spread unit vectors (Fibonacci lattice)."""
    k = np.arange(count) + 0.5
    height, turn = 1 - 2 * k / count, np.pi * (1 + 5**0.5) * k
    ring = np.sqrt(1 - height**2)
    return np.stack([ring * np.cos(turn), ring * np.sin(turn), height], axis=1)


def least_squares_sphere(points: Array, weight: Array) -> tuple[Array, float]:
    """Centre and radius by geometric least squares (Gauss-Newton from the algebraic fit)."""
    terms = np.column_stack([2 * points, np.ones(len(points))])
    root = np.sqrt(weight)
    first = np.linalg.lstsq(terms * root[:, None], (points**2).sum(axis=1) * root, rcond=None)[0]
    centre, radius = first[:3], float(np.sqrt(max(first[3] + first[:3] @ first[:3], 1e-12)))
    for _ in range(12):
        arm = points - centre
        length = np.linalg.norm(arm, axis=1)
        slope = np.column_stack([-arm / length[:, None], -np.ones(len(points))])
        step = np.linalg.lstsq(slope * root[:, None], -(length - radius) * root, rcond=None)[0]
        centre, radius = centre + step[:3], radius + float(step[3])
        if np.abs(step).max() < 1e-10:
            break
    return centre, radius


def find_sphere(points: Array, weight: Array) -> tuple[Array, float] | None:
    """The sphere of which the largest share lies in `points` (random draws of four near points, fixed seed)."""
    rng = np.random.default_rng(SAMPLE_SEED)
    if len(points) < 50:
        return None
    few = rng.choice(len(points), min(1500, len(points)), replace=False)
    spots, area = points[few], weight[few] * weight.sum() / weight[few].sum()
    near = cKDTree(spots).query_ball_point(spots, 1.6)
    draws = np.array(
        [rng.choice(near[i], 4, replace=False) for i in rng.integers(0, len(spots), DRAWS) if len(near[i]) >= 4]
    )
    if not len(draws):
        return None
    centres, radii = _through_four(spots[draws])
    possible = (radii > RADIUS_MM[0]) & (radii < RADIUS_MM[1])
    if not possible.any():
        return None
    centres, radii = centres[possible], radii[possible]
    off = np.abs(np.linalg.norm(spots[None] - centres[:, None], axis=2) - radii[:, None])
    share = ((off < NEAR_MM) * area).sum(axis=1) / (4 * np.pi * radii**2)
    # an almost whole sphere counts as whole: overlapping shells would count twice
    best = int(np.argmax(np.minimum(share, 1.0) + 0.05 * radii))
    return (centres[best], float(radii[best])) if share[best] >= LEAST_SHARE * 0.7 else None


def _through_four(corners: Array) -> tuple[Array, Array]:
    """Spheres through four points each, (D, 4, 3); flat fours give an infinite radius."""
    sides = 2 * (corners[:, 1:] - corners[:, :1])
    right = (corners[:, 1:] ** 2).sum(axis=2) - (corners[:, :1] ** 2).sum(axis=2)
    flat = np.abs(np.linalg.det(sides)) < 1e-4
    sides[flat] = np.eye(3)
    centres = np.linalg.solve(sides, right[:, :, None])[:, :, 0]
    radii = np.linalg.norm(corners[:, 0] - centres, axis=1)
    return centres, np.where(flat, np.inf, radii)


def average_by_direction(points: Array, centre: Array, radius: float, count: int = CELLS) -> Cells:
    """Median radius of the points near the sphere, by direction from its centre."""
    arm = points - centre
    length = np.linalg.norm(arm, axis=1)
    shell = np.abs(length - radius) < SHELL_MM
    arm, length = arm[shell], length[shell]
    way = directions(count)
    cell = cKDTree(way).query(arm / length[:, None])[1]
    mean, error = np.full(count, np.nan), np.full(count, np.nan)
    number = np.bincount(cell, minlength=count)
    order = np.argsort(cell, kind="stable")
    for index, own in enumerate(np.split(length[order], np.cumsum(number)[:-1])):
        if len(own) >= SHARED:
            mean[index] = np.median(own)
            error[index] = (
                max(1.4826 * np.median(np.abs(own - mean[index])), 1e-4) * 1.25 / np.sqrt(max(len(own) / SHARED, 1.0))
            )
    return Cells(way, mean, error, number)


def fit_sphere(points: Array, centre: Array, radius: float) -> Sphere | None:
    """Refine a found sphere: worn cells (inside the round shape) and foreign ones (outside) are left out."""
    sound: Flags = np.zeros(0, dtype=bool)
    for _ in range(5):
        cells = average_by_direction(points, centre, radius)
        filled = np.isfinite(cells.radius)
        if filled.mean() < LEAST_SHARE:
            return None
        off, sound = _sound(cells, filled)
        if sound.mean() < LEAST_SHARE:
            return None
        spots = centre + cells.way[sound] * cells.radius[sound, None]
        centre, radius = least_squares_sphere(spots, np.ones(len(spots)))
    spots = centre + cells.way[sound] * cells.radius[sound, None]
    spread = _covariance(cells.way[sound])
    rest = np.linalg.norm(spots - centre, axis=1) - radius
    scale = float(np.sqrt((rest**2).sum() / max(len(rest) - 4, 1)))
    error = 2 * scale * np.sqrt(spread[3, 3]) + 0.0005
    place = 2 * scale * float(np.sqrt(np.trace(spread[:3, :3]))) + 0.0005
    return Sphere(centre, radius, float(error), place, cells, sound, off, float(sound.mean()))


def _covariance(way: Array) -> Array:
    terms = np.column_stack([way, np.ones(len(way))])
    return np.linalg.inv(terms.T @ terms + 1e-9 * np.eye(4)).astype(np.float64)


def _round_terms(way: Array, second_order: bool) -> Array:
    """1, place of the centre, and the five terms of an ellipsoid's form."""
    x, y, z = way.T
    terms = [np.ones(len(way)), x, y, z]
    if second_order:
        terms += [x * y, y * z, z * x, x * x - y * y, 3 * z * z - 1]
    return np.stack(terms, axis=1)


def form(cells: Cells, sound: Flags) -> tuple[Array, Array]:
    """Coefficients of `_round_terms` with second order over the sound cells, and their covariance."""
    terms = _round_terms(cells.way[sound], True)
    found = np.linalg.lstsq(terms, cells.radius[sound], rcond=None)[0].astype(np.float64)
    rest = cells.radius[sound] - terms @ found
    variance = float((rest**2).sum() / max(len(rest) - 9, 1))
    return found, np.linalg.inv(terms.T @ terms + 1e-9 * np.eye(9)).astype(np.float64) * variance


def _sound(cells: Cells, filled: Flags) -> tuple[Array, Flags]:
    """(radius less the round shape, cells that follow it): robust, and wary of cells that lie inside."""
    terms = _round_terms(cells.way, bool(filled.mean() > 0.6))
    weight = filled.astype(float)
    radius = np.where(filled, cells.radius, 0.0)
    typical = float(np.nanmedian(cells.error))
    off: Array = radius * 0
    for turn in range(12):
        root = np.sqrt(weight)
        found = np.linalg.lstsq(terms * root[:, None], radius * root, rcond=None)[0]
        off = radius - terms @ found
        scale = max(1.4826 * float(np.median(np.abs(off[filled]))), typical)
        width = max(4.0 * scale * (2.0 if turn < 3 else 1.0), 1e-3)
        weight = filled * np.clip(1 - (off / width) ** 2, 0, None) ** 2
    worn = filled & (off < -_worn_limit(cells))
    foreign = filled & (off > np.maximum(3.5 * cells.error, FOREIGN_MM))
    sound = filled & ~beside(cells.way, worn | foreign)
    return np.where(filled, off, np.nan), sound


def _worn_limit(cells: Cells) -> Array:
    limit: Array = np.maximum(3.0 * np.nan_to_num(cells.error, nan=np.inf), WORN_MM)
    return limit


def worn_cells(sphere: Sphere) -> Flags:
    """Cells that lie inside the round shape by more than noise allows."""
    worn: Flags = np.nan_to_num(sphere.off) < -_worn_limit(sphere.cells)
    return worn


def beside(way: Array, marked: Flags) -> Flags:
    """Marked cells and those beside two or more of them: the rim of a flat is half worn (a lone cell is noise)."""
    near = cKDTree(way).query(way, k=7)[1]
    found: Flags = marked | (marked[near].sum(axis=1) >= 2)
    return found
