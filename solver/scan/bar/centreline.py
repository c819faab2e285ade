"""Propose the straight stretches of a bar, and refine an axis by the middles of its sections.

Where a bar is prismatic all surface normals near a place are square to its axis: the axis is the direction in which
they vary least. One trial section across that direction gives the middle. Places that agree on a line make a stretch.
Normals are used without their sign, and no connectivity is used, so that flipped triangles and shells do no harm.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from solver.scan.surface.mesh import Array, Flags, Ints, Mesh, sample
from solver.scan.surface.sampling import batch, extents, main_cluster, only, surrounded
from solver.scan.surface.slicing import Frame, across, cut, frame_for, unit

SAMPLE_MM = 0.16
MOST_SAMPLES = 40_000
MOST_SEEDS = 700
PATCH = 14  # neighbours that make a normal
REACH_MM = 1.3  # neighbourhood in which a place looks for its axis
SLAB_MM = 0.25
LARGEST_MM = 5.5  # of a section, any way across
SMALLEST_MM = 0.9
SAME_LINE_MM, SAME_WAY = 0.4, np.cos(np.radians(12.0))
SHORTEST_MM = 1.0
BREAK_MM = 2.0  # a longer stretch without a place parts a line in two


class Line(NamedTuple):
    """A straight stretch: a point on it, its direction, and from where to where it was seen (mm along it)."""

    origin: Array
    a: Array
    low: float
    high: float
    size_mm: float  # typical distance across

    def at(self, station: float) -> Array:
        """The point at `station`."""
        point: Array = self.origin + station * self.a
        return point


class Places(NamedTuple):
    """Trial sections that looked like a bar: middle, axis direction, size across."""

    middle: Array
    a: Array
    size: Array


def surface_normals(points: Array, tree: cKDTree) -> Array:
    """Normal (without sign) of the plane through the PATCH nearest samples of each point."""
    near = tree.query(points, k=PATCH)[1]
    patch = points[near] - points[near].mean(axis=1, keepdims=True)
    normals: Array = np.linalg.eigh(np.einsum("npi,npj->nij", patch, patch))[1][:, :, 0]
    return normals


def find_places(mesh: Mesh) -> Places:
    """Trial sections over the whole surface."""
    points = sample(mesh, SAMPLE_MM, MOST_SAMPLES)
    if len(points) < 4 * PATCH:
        return Places(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0))
    tree = cKDTree(points)
    normals = surface_normals(points, tree)
    spacing = float(np.median(tree.query(points[:500], k=5)[0][:, 4]))
    found = []
    for seed in points[:: max(len(points) // MOST_SEEDS, 1)]:
        axis = _axis(normals[tree.query_ball_point(seed, REACH_MM)])
        if axis is None:
            continue
        wide = np.array([tree.query(seed)[1], *tree.query_ball_point(seed, LARGEST_MM)])
        if (place := _place(axis, points[wide], normals[wide], spacing)) is not None:
            found.append(place)
    if not found:
        return Places(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0))
    return Places(*(np.array(field) for field in zip(*found, strict=True)))


def _axis(normals: Array) -> Array | None:
    """Direction in which the normals vary least; None on a flat sheet or a ball."""
    values, vectors = np.linalg.eigh(normals.T @ normals / len(normals))
    if values[1] < 0.06 or values[0] > 0.45 * values[1]:
        return None
    axis: Array = vectors[:, 0]
    return axis


def _place(axis: Array, points: Array, normals: Array, spacing: float) -> tuple[Array, Array, float] | None:
    """Trial section at the first point: (middle, axis, size), or None where the surface does not close around it."""
    seed = points[0]
    for _ in range(2):
        slab = np.flatnonzero(np.abs((points - seed) @ axis) < SLAB_MM)
        run = _run_from(points[slab], 2.2 * spacing)
        if run is None:
            return None
        own = slab[run]
        better = _axis(normals[own])
        if better is None:
            return None
        axis = better
    side = across(axis)
    flat = (points[own] - seed) @ np.stack([side, np.cross(axis, side)], axis=1)
    middle = (flat.max(axis=0) + flat.min(axis=0)) / 2
    size = float(np.ptp(flat, axis=0).max())
    rest = flat - middle
    sectors = np.unique(((np.arctan2(rest[:, 1], rest[:, 0]) / np.pi + 1) * 5.999).astype(int))
    if len(sectors) < 9 or not SMALLEST_MM < size < LARGEST_MM:
        return None
    return seed + middle[0] * side + middle[1] * np.cross(axis, side), axis, size


def _run_from(points: Array, link: float) -> Ints | None:
    """Points joined to the first one by steps of at most `link`."""
    if len(points) < 12:
        return None
    pairs = cKDTree(points).query_pairs(link, output_type="ndarray")
    links = coo_matrix((np.ones(len(pairs), dtype=bool), (pairs[:, 0], pairs[:, 1])), shape=(len(points),) * 2)
    label = connected_components(links, directed=False)[1]
    reached = np.flatnonzero(label == label[0])
    return reached if len(reached) >= 12 else None


def lines_through(places: Places, shortest_mm: float = SHORTEST_MM) -> list[Line]:
    """Straight stretches on which many places agree, the best supported first (greedy)."""
    left = np.ones(len(places.middle), dtype=bool)
    lines: list[Line] = []
    while left.sum() >= 6:
        votes = _agree(places, places.middle[left], places.a[left])[:, left]
        best = int(votes.sum(axis=1).argmax())
        chosen = np.flatnonzero(left)[votes[best]]
        origin, a = _straight(places.middle[chosen], places.a[chosen])
        chosen = np.flatnonzero(_agree(places, origin[None], a[None])[0] & left)
        if len(chosen) < 6:
            left[np.flatnonzero(left)[best]] = False
            continue
        lines += _stretches(places, chosen, origin, a, shortest_mm)
        left[chosen] = False
        left[np.flatnonzero(left)[_agree(places, origin[None], a[None])[0][left]]] = False
    return lines


def _agree(places: Places, origins: Array, ways: Array) -> Flags:
    """Which places lie on which line (lines, places)."""
    rest = places.middle[None] - origins[:, None]
    along = np.einsum("lpk,lk->lp", rest, ways)
    off = np.linalg.norm(rest - along[:, :, None] * ways[:, None], axis=2)
    agree: Flags = (off < SAME_LINE_MM) & (np.abs(ways @ places.a.T) > SAME_WAY)
    found: Flags = agree & (np.abs(along) < 20.0)
    return found


def _straight(points: Array, ways: Array) -> tuple[Array, Array]:
    """Line through points, steadied by their own directions where they lie close together."""
    origin = np.median(points, axis=0)
    signs = np.sign(ways @ ways[0])
    rest = points - origin
    scatter = rest.T @ rest / len(rest) + (ways * signs[:, None]).T @ (ways * signs[:, None]) / len(ways)
    return origin, np.linalg.eigh(scatter)[1][:, 2]


def _stretches(places: Places, chosen: Ints, origin: Array, a: Array, shortest_mm: float) -> list[Line]:
    """One line cut where a gap of more than BREAK_MM parts its places."""
    along = (places.middle[chosen] - origin) @ a
    order = np.argsort(along)
    breaks = np.flatnonzero(np.diff(along[order]) > BREAK_MM) + 1
    found = []
    for part in np.split(order, breaks):
        low, high = float(along[part].min()), float(along[part].max())
        if high - low >= shortest_mm and len(part) >= 6:
            found.append(Line(origin, a, low, high, float(np.median(places.size[chosen[part]]))))
    return found


class Refined(NamedTuple):
    """A refined axis, the errors of its direction and of its place across (95 %), and the triangles around it."""

    line: Line
    direction_error_rad: float
    place_error_mm: float
    triangles: Array


def refine(triangles: Array, line: Line, out: Array, turns: int = 3) -> Refined:
    """Move the axis to the middles of the sections along it, seen with `out` upwards (robust straight line)."""
    error = (np.pi / 60, SAME_LINE_MM)
    for _ in range(turns):
        frame = frame_for(line.origin, line.a, out)
        stations = np.linspace(line.low, line.high, max(int((line.high - line.low) / 0.4), 6))
        spots, middles = _middles(triangles, frame, stations, line.size_mm)
        if len(spots) < 4:
            break
        fit, errors = fit_line(spots, middles)
        base = frame.origin + frame.l * fit[1, 0] + frame.v * fit[1, 1]
        line = line._replace(origin=base, a=unit(frame.a + frame.l * fit[0, 0] + frame.v * fit[0, 1]))
        error = errors
    return Refined(line, *error, triangles)


def _middles(triangles: Array, frame: Frame, stations: Array, size_mm: float) -> tuple[Array, Array]:
    """Middle of the box around each closed section of about the expected size: (stations, (n, 2))."""
    cuts = cut(triangles, frame, stations, 0.06, LARGEST_MM / 1.3)
    own = only(cuts, main_cluster(cuts, len(stations)))
    if not len(own.plane):
        return np.zeros(0), np.zeros((0, 2))
    box = extents(batch(own, len(stations)))
    size = np.maximum(box[:, 1] - box[:, 0], box[:, 3] - box[:, 2])
    closed = surrounded(own, len(stations)) > 0.7
    typical = np.median(size[closed]) if closed.any() else size_mm
    good = closed & (np.abs(size - typical) < 0.15 * typical)
    middles = np.stack([box[:, 0] + box[:, 1], box[:, 2] + box[:, 3]], axis=1) / 2
    return stations[good], middles[good]


def fit_line(spots: Array, middles: Array) -> tuple[Array, tuple[float, float]]:
    """Robust straight line middle = slope * station + start; ((2, 2) slope and start, (angle, place) errors)."""
    terms = np.stack([spots, np.ones_like(spots)], axis=1)
    weight = np.ones(len(spots))
    for _ in range(5):
        root = np.sqrt(weight)[:, None]
        fit = np.linalg.lstsq(terms * root, middles * root, rcond=None)[0]
        off = np.linalg.norm(middles - terms @ fit, axis=1)
        scale = max(float(np.median(off)) * 1.2, 1e-4)
        weight = np.clip(1 - (off / (4.0 * scale)) ** 2, 0, None) ** 2
    spread = np.linalg.inv((terms * weight[:, None]).T @ terms)
    middle = float(np.average(spots, weights=weight + 1e-12))
    at_middle = np.array([middle, 1.0])
    place = 2 * scale * np.sqrt(at_middle @ spread @ at_middle)
    return fit, (float(2 * scale * np.sqrt(spread[0, 0])) + 2e-5, float(place) + 5e-4)
