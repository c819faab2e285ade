"""Which points of each cut belong to the bar, and an even choice of them for fitting."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from solver.scan.surface.mesh import Array, Flags, Ints
from solver.scan.surface.slicing import Cuts

LINK_MM = 0.2  # a wider gap on a cut parts the bar from mucosa, tray or debris
CELL_MM = 0.06
POINTS = 160  # per section
DIRECTIONS = 24
KEY = 4096  # cells across a plane, more than any window holds


class Batch(NamedTuple):
    """S sections of M points each: coordinates (S, M), weights (0 = padding), points that count as independent."""

    x: Array
    y: Array
    base: Array
    independent: Array
    facet_mm: Array


def main_cluster(cuts: Cuts, planes: int) -> Flags:
    """Points of the connected run, in each plane, that surrounds the axis best (then: is the longest)."""
    if not len(cuts.plane):
        return np.zeros(0, dtype=bool)
    row, column = (np.round(cuts.at / CELL_MM).astype(np.intp) + KEY // 2).T
    keys, inverse = np.unique((cuts.plane * KEY + row) * KEY + column, return_inverse=True)
    label = _connected(np.stack([keys // KEY**2, keys // KEY % KEY, keys % KEY], axis=1))[inverse]
    sector = _sector(cuts.at)
    clusters = int(label.max()) + 1
    seen = np.zeros((clusters, DIRECTIONS), dtype=bool)
    seen[label, sector] = True
    length = np.bincount(label, weights=cuts.weight_mm, minlength=clusters)
    score = seen.sum(axis=1) + length / (1.0 + length.max())
    home = np.zeros(clusters, dtype=np.intp)
    home[label] = cuts.plane
    best = np.full(planes, -1)
    for cluster in np.argsort(score, kind="stable"):
        best[home[cluster]] = cluster
    kept: Flags = label == best[cuts.plane]
    return kept


def _connected(cells: Ints) -> Ints:
    """Component of each cell; cells of one plane within LINK_MM are joined."""
    place = cells.astype(float) * [1000.0, CELL_MM, CELL_MM]
    pairs = cKDTree(place).query_pairs(LINK_MM, output_type="ndarray")
    links = coo_matrix((np.ones(len(pairs), dtype=bool), (pairs[:, 0], pairs[:, 1])), shape=(len(cells),) * 2)
    label: Ints = connected_components(links, directed=False)[1]
    return label


def _sector(at: Array) -> Ints:
    angle = np.arctan2(at[:, 1], at[:, 0])
    return ((angle + np.pi) / (2 * np.pi) * DIRECTIONS).astype(np.intp).clip(0, DIRECTIONS - 1)


def surrounded(cuts: Cuts, planes: int) -> Array:
    """Share of the directions from the axis in which each plane has a point."""
    seen = np.zeros((planes, DIRECTIONS), dtype=bool)
    seen[cuts.plane, _sector(cuts.at)] = True
    share: Array = seen.mean(axis=1)
    return share


def only(cuts: Cuts, kept: Flags) -> Cuts:
    """The points where `kept` is true."""
    return Cuts(cuts.plane[kept], cuts.at[kept], cuts.weight_mm[kept], cuts.facet_mm[kept])


def batch(cuts: Cuts, planes: int) -> Batch:
    """POINTS points of each plane, evenly by length of cut in the order of their direction."""
    centre = _per_plane(cuts, planes)
    rest = cuts.at - centre[cuts.plane]
    order = np.lexsort((np.arctan2(rest[:, 1], rest[:, 0]), cuts.plane))
    plane, weight = cuts.plane[order], cuts.weight_mm[order]
    total = np.bincount(plane, weights=weight, minlength=planes)
    before = np.concatenate([[0.0], np.cumsum(total)[:-1]])
    steps = before[:, None] + total[:, None] * ((np.arange(POINTS) + 0.5) / POINTS)
    chosen = np.searchsorted(np.cumsum(weight), steps).clip(0, max(len(order) - 1, 0))
    used = total > 0
    if not len(order):
        blank = np.zeros((planes, POINTS))
        return Batch(blank, blank, blank, np.ones(planes), np.ones(planes))
    index = order[chosen]
    facet = cuts.facet_mm[index]
    independent = np.clip(total / np.maximum(2 * np.median(facet, axis=1), 1e-9), 4.0, POINTS)
    base = np.broadcast_to(used[:, None], index.shape).astype(float)
    return Batch(cuts.at[index, 0], cuts.at[index, 1], base, independent, np.quantile(facet, 0.9, axis=1))


def _per_plane(cuts: Cuts, planes: int) -> Array:
    """Middle of each plane's cut by length, shape (planes, 2)."""
    total = np.maximum(np.bincount(cuts.plane, weights=cuts.weight_mm, minlength=planes), 1e-12)
    sums = [np.bincount(cuts.plane, weights=cuts.weight_mm * cuts.at[:, k], minlength=planes) for k in (0, 1)]
    return np.stack(sums, axis=1) / total[:, None]


def extents(points: Batch) -> Array:
    """Left, right, bottom, top of each section without its outermost two points, shape (S, 4)."""
    x, y = np.sort(points.x, axis=1), np.sort(points.y, axis=1)
    return np.stack([x[:, 2], x[:, -3], y[:, 2], y[:, -3]], axis=1)
