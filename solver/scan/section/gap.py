"""Gap between the underside of the bar and the mucosa beneath, along v in the plane of a section."""

from __future__ import annotations

import numpy as np

from solver.scan.section.figure import Figure, Measured, Reason, Unknown
from solver.scan.surface.mesh import Array

APART_MM = 0.1  # nearer than this below the underside it cannot be told from the bar
LAYER_MM = 0.35  # points this far below the uppermost layer are another surface
BIN_MM = 0.2
DEGREE = 4
MARGIN_MM = 0.3  # of mucosa to each side of the bar that steadies the curve


def gap_to_mucosa(outline: Array, points: Array, spacing_mm: float, sag_mm: float) -> Measured:
    """Least distance along v from the underside of `outline` (Q, 2) to the curve through the `points` (N, 2) beneath.

    `spacing_mm` is the distance between independent points, `sag_mm` how far facets may lie off the true surface.
    """
    left, right = outline[:, 0].min(), outline[:, 0].max()
    across = np.linspace(left + 0.01, right - 0.01, 41)
    underside = _underside(outline, across)
    beneath = points[(points[:, 0] > left - MARGIN_MM) & (points[:, 0] < right + MARGIN_MM)]
    level = np.interp(beneath[:, 0], across, underside)
    beneath = _uppermost(beneath[beneath[:, 1] < level - APART_MM])
    if len(beneath) < DEGREE + 4:
        return Unknown(Reason.NOT_IN_SCAN)
    bins = np.arange(left, right, BIN_MM)
    filled = np.histogram(beneath[:, 0], [*bins, right])[0] > 0
    if not filled.all() and filled.mean() < 0.9:
        return Unknown(Reason.NOT_COVERED)
    middle, half = (left + right) / 2, (right - left) / 2 + MARGIN_MM
    coefficients, scale = _curve((beneath[:, 0] - middle) / half, beneath[:, 1])
    apart = underside - np.polyval(coefficients, (across - middle) / half)
    independent = max((2 * half) / spacing_mm, DEGREE + 2.0)
    error = 2.0 * scale * np.sqrt((DEGREE + 1) / independent)
    return Figure(float(apart.min()), float(np.hypot(error, sag_mm)))


def _underside(outline: Array, across: Array) -> Array:
    """Lowest level of the outline at each place across."""
    x, y = outline[:, 0], outline[:, 1]
    x2, y2 = np.roll(x, -1), np.roll(y, -1)
    run = (x2 - x)[None, :]
    share = (across[:, None] - x) / np.where(run == 0, 1.0, run)
    crosses = (share >= 0) & (share <= 1) & (run != 0)
    lowest: Array = np.where(crosses, y + share * (y2 - y), np.inf).min(axis=1)
    return lowest


def _uppermost(points: Array) -> Array:
    """Points within LAYER_MM of the top of their own strip across (top: 75 % level, so that a spike is no layer)."""
    if not len(points):
        return points
    strip = np.floor(points[:, 0] / BIN_MM).astype(int)
    kept = np.zeros(len(points), dtype=bool)
    for number in np.unique(strip):
        own = strip == number
        top = np.quantile(points[own, 1], 0.75, method="higher")
        kept |= own & (np.abs(points[:, 1] - top) < LAYER_MM)
    return points[kept]


def _curve(x: Array, y: Array) -> tuple[Array, float]:
    """Polynomial through the points (robust: Tukey's biweight), and the robust scale about it."""
    weight = np.ones(len(x))
    terms = np.vander(x, DEGREE + 1)
    coefficients: Array = np.zeros(DEGREE + 1)
    scale = 0.0
    for _ in range(6):
        root = np.sqrt(weight)
        coefficients = np.linalg.lstsq(terms * root[:, None], y * root, rcond=1e-6)[0].astype(np.float64)
        off = y - terms @ coefficients
        scale = max(1.4826 * float(np.median(np.abs(off))), 1e-4)
        weight = np.clip(1 - (off / (4.685 * scale)) ** 2, 0, None) ** 2
    return coefficients, scale
