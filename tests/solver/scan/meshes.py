"""Analytic bars as triangle meshes: every truth is known from the formula that made the mesh. All invented."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike
from scipy.spatial.transform import Rotation

from solver.scan.surface.mesh import Array

EDGE = 0.05


def sheet(f: Callable[[Array, Array], Array], rows: int, columns: int, closed: bool = False) -> Array:
    """Triangles (n, 3, 3) of the surface f(u, v), u and v in 0..1; `closed` joins v = 1 to v = 0."""
    u, v = np.meshgrid(np.linspace(0, 1, rows), np.linspace(0, 1, columns, endpoint=not closed), indexing="ij")
    points = f(u.ravel(), v.ravel()).reshape(rows, columns, 3)
    if closed:
        points = np.concatenate([points, points[:, :1]], axis=1)
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]
    return np.concatenate([np.stack([a, b, c], 2).reshape(-1, 3, 3), np.stack([a, c, d], 2).reshape(-1, 3, 3)])


def evenly(outline: Array, spacing: float) -> Array:
    """A closed outline (n, 2), finely given, as points about `spacing` apart along it."""
    loop = np.vstack([outline, outline[:1]])
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(loop, axis=0), axis=1))])
    count = max(round(float(run[-1]) / spacing), 12)
    at = np.arange(count) / count * run[-1]
    return np.stack([np.interp(at, run, loop[:, k]) for k in (0, 1)], axis=1)


def circle(radius: float) -> Array:
    t = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    found: Array = radius * np.c_[np.cos(t), np.sin(t)]
    return found


def egg(half: float, up: float, down: float) -> Array:
    t = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    found: Array = np.c_[half * np.cos(t), np.where(np.sin(t) > 0, up, down) * np.sin(t)]
    return found


def keyhole(head: float, stem: float, down: float) -> Array:
    """Round head, centre at 0, parallel stem of half width `stem` to `down` below the centre."""
    throat = -np.arccos(stem / head)
    t = np.linspace(throat, np.pi - throat, 3000)
    neck = head * np.sin(throat)
    side, foot = np.linspace(0, 1, 400)[1:], np.linspace(-1, 1, 400)[1:]
    return np.vstack(
        [
            head * np.c_[np.cos(t), np.sin(t)],
            np.c_[np.full(399, -stem), neck + (-down - neck) * side],
            np.c_[stem * foot, np.full(399, -down)],
            np.c_[np.full(398, stem), (neck + (-down - neck) * side[::-1])[1:]],
        ]
    )


def box(half: float, up: float, top: float, bottom: float, taper: float = 0.0) -> Array:
    """Box of half width `half` at mid height and half height `up`; corner radii; walls lean in by `taper` (slope)."""
    q = np.linspace(0, np.pi / 2, 300)
    quarter = np.c_[np.cos(q), np.sin(q)]
    right_top = [half - top, up - top] + top * quarter
    left_top = [-1.0, 1.0] * right_top[::-1]
    right_low = [half - bottom, -(up - bottom)] + bottom * quarter[::-1] * [1.0, -1.0]
    left_low = [-1.0, 1.0] * right_low[::-1]
    loop = np.vstack([right_top, left_top, left_low, right_low])
    fine = np.vstack([np.linspace(p, q, 60, endpoint=False) for p, q in zip(loop, np.roll(loop, -1, 0), strict=True)])
    fine[:, 0] -= np.sign(fine[:, 0]) * taper * fine[:, 1]
    return fine


def prism(outline: Array, length: float, edge: float = EDGE, scale: Callable[[Array], Array] | None = None,
          capped: bool = True) -> Array:  # fmt: skip
    """A straight bar along +x from 0 to `length`; the outline lies in (y, z); `scale(x)` tapers it."""
    loop = evenly(outline, edge)
    rows = max(round(length / edge) + 1, 2)

    def surface(u: Array, v: Array) -> Array:
        at = loop[np.round(v * len(loop)).astype(int) % len(loop)]
        size = np.ones_like(u) if scale is None else scale(u * length)
        found: Array = np.c_[u * length, size[:, None] * at]
        return found

    tube = sheet(surface, rows, len(loop), closed=True)
    if not capped:
        return tube
    lids = [_lid(loop * (1.0 if scale is None else float(scale(np.array([x]))[0])), x, edge) for x in (0.0, length)]
    return np.concatenate([tube, *lids])


def _lid(loop: Array, x: float, edge: float) -> Array:
    middle = (loop.max(axis=0) + loop.min(axis=0)) / 2
    rings = max(int(np.ptp(loop[:, 0]) / 2 / edge), 2)

    def surface(u: Array, v: Array) -> Array:
        at = loop[np.round(v * len(loop)).astype(int) % len(loop)]
        found: Array = np.c_[np.full(len(u), x), middle + u[:, None] * (at - middle)]
        return found

    return sheet(surface, rings, len(loop), closed=True)


def ball(radius: float, centre: Array, edge: float = EDGE, flat: tuple[Array, float] | None = None,
         stretch: Array | None = None) -> Array:  # fmt: skip
    """A sphere (`stretch` = semi-axis factors); `flat` = (direction, height over the centre) wears it off level."""
    rows = int(np.pi * radius / edge) + 1

    def surface(u: Array, v: Array) -> Array:
        polar, turn = np.pi * u, 2 * np.pi * v
        points = radius * np.c_[np.sin(polar) * np.cos(turn), np.sin(polar) * np.sin(turn), np.cos(polar)]
        if stretch is not None:
            points = points * stretch
        if flat is not None:
            direction, height = flat
            points = points - np.clip(points @ direction - height, 0, None)[:, None] * direction
        found: Array = points + centre
        return found

    return sheet(surface, rows, 2 * rows, closed=True)


def rotation(axis: ArrayLike, degrees: float) -> Array:
    matrix: Array = Rotation.from_rotvec(np.radians(degrees) * np.asarray(axis) / np.linalg.norm(axis)).as_matrix()
    return matrix


def moved(triangles: Array, matrix: Array, shift: ArrayLike) -> Array:
    return triangles @ matrix.T + np.asarray(shift, dtype=np.float64)


def mucosa(length: float, depth: Callable[[Array, Array], Array], half: float = 5.0, edge: float = 0.1) -> Array:
    """A ridge surface under a bar along x: z = depth(x, y)."""

    def surface(u: Array, v: Array) -> Array:
        x, y = u * (length + 4) - 2, (v - 0.5) * 2 * half
        found: Array = np.c_[x, y, depth(x, y)]
        return found

    return sheet(surface, int((length + 4) / edge), int(2 * half / edge))


def noisy(triangles: Array, sigma: float, outliers: float, seed: int, size: float = 0.4) -> Array:
    """Every corner (shared corners alike) moved by normal noise, and a share of them by up to `size`."""
    corners, index = np.unique(np.round(triangles.reshape(-1, 3), 7), axis=0, return_inverse=True)
    rng = np.random.default_rng(seed)
    corners = corners + rng.normal(0, sigma, corners.shape)
    wild = rng.random(len(corners)) < outliers
    corners[wild] += rng.uniform(-size, size, (int(wild.sum()), 3))
    return corners[index.ravel()].reshape(-1, 3, 3)


def decimated(triangles: Array, cell: float) -> Array:
    """Corners snapped to one corner of their grid cell: an uneven, coarser mesh whose corners stay on the surface."""
    corners = triangles.reshape(-1, 3)
    _, first, index = np.unique(np.floor(corners / cell), axis=0, return_index=True, return_inverse=True)
    thin = first[index.ravel()].reshape(-1, 3)
    kept = (thin[:, 0] != thin[:, 1]) & (thin[:, 1] != thin[:, 2]) & (thin[:, 0] != thin[:, 2])
    found: Array = corners[thin[kept]]
    return found


def shuffled(triangles: Array, seed: int) -> Array:
    """Triangles in another order, half of them with the other winding, corners rolled."""
    rng = np.random.default_rng(seed)
    mixed = triangles[rng.permutation(len(triangles))]
    turned = rng.random(len(mixed)) < 0.5
    mixed[turned] = mixed[turned][:, ::-1]
    return mixed


def holed(triangles: Array, centres: Array, radius: float) -> Array:
    """Without the triangles that touch a ball about each centre."""
    gone = np.zeros(len(triangles), dtype=bool)
    for centre in centres:
        gone |= (np.linalg.norm(triangles - centre, axis=2) < radius).any(axis=1)
    return triangles[~gone]
