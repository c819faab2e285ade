"""Errors of the figures of a section: fit, neighbours, mesh and form."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import median_filter

from solver.scan.section.kinds import Fitted
from solver.scan.section.shapes import HEAD, SHAPES, Kind
from solver.scan.section.undercut import undercut
from solver.scan.surface.mesh import Array
from solver.scan.surface.robust_fit import STEP

FLOOR_MM = 0.002  # no figure is claimed to be better than this
SIGMAS = 2.0  # of the error of a fit


def figures_of(kind: Kind, theta: Array) -> Array:
    """Width, height, head diameter, undercut left and right, level of the underside; shape (S, 6)."""
    outline = SHAPES[kind].outline(theta)
    high, low = outline.max(axis=1), outline.min(axis=1)
    left, right = undercut(outline)
    head = 2 * theta[:, HEAD.get(kind, 3)]
    return np.stack([*(high - low).T, head, left, right, low[:, 1]], axis=1)


def errors_of(fitted: Fitted, values: Array) -> Array:
    """Errors of `figures_of`, shape (S, 6): fit or neighbours, whichever is more, with mesh and form."""
    theta, points = fitted.fits.theta, fitted.points
    slopes = []
    for k in range(theta.shape[1]):
        moved = theta.copy()
        moved[:, k] += 10 * STEP
        slopes.append((figures_of(fitted.kind, moved) - values) / (10 * STEP))
    slope = np.stack(slopes, axis=2)
    correlated = points.base.sum(axis=1) / points.independent
    variance = np.einsum("sfk,skj,sfj->sf", slope, fitted.fits.spread, slope) * correlated[:, None]
    of_fit = SIGMAS * np.sqrt(variance.clip(0.0)) * fitted.fits.scale[:, None]
    sag = sagitta(fitted)[:, None] * [2.0, 2.0, 2.0, 2.0, 2.0, 1.0]
    if fitted.kind is Kind.PARALLEL:  # facets across the lower corners look like an undercut
        sag[:, 3:5] += (points.facet_mm**2 / (8 * np.maximum(theta[:, 6], 0.1)))[:, None]
    form = 1.5 * fitted.form
    of_fit[:, 3:5] = np.maximum(of_fit[:, 3:5], of_fit[:, :1] / 2)  # an undercut cut off at 0 has no slope
    found: Array = np.sqrt(np.maximum(of_fit, disagreement(values)) ** 2 + sag**2 + form**2 + FLOOR_MM**2)
    return found


def disagreement(values: Array) -> Array:
    """Twice the robust spread of each section about the running median of its neighbours, shape (S, F)."""
    if len(values) < 5:
        return np.zeros_like(values)
    off = np.abs(values - median_filter(values, size=(5, 1), mode="nearest"))
    spread: Array = 1.4826 * median_filter(off, size=(9, 1), mode="nearest")
    return SIGMAS * spread


def sagitta(fitted: Fitted) -> Array:
    """How far a flat facet lies inside the true curve: length squared over 8 radii, shape (S,)."""
    theta = fitted.fits.theta
    if fitted.kind is Kind.OVOID:
        flatter = np.minimum(theta[:, 4], theta[:, 5])
        radius = np.minimum(flatter**2 / theta[:, 3], theta[:, 3] ** 2 / np.maximum(theta[:, 4], theta[:, 5]))
    elif fitted.kind is Kind.PARALLEL:
        radius = np.where(theta[:, 5] > 0.7 * theta[:, 3], theta[:, 5], np.inf)
    else:
        radius = theta[:, HEAD.get(fitted.kind, 3)]
    sag: Array = fitted.points.facet_mm**2 / (8 * np.maximum(radius, 0.1))
    return sag
