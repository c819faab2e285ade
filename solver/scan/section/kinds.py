"""Fit all sections of a stretch as one kind, and tell which kind they are."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solver.scan.section.shapes import SHAPES, Kind
from solver.scan.surface.mesh import Array, Flags, Ints
from solver.scan.surface.robust_fit import Fits, fit_robust
from solver.scan.surface.sampling import POINTS, Batch, extents

CLIP_MM = 0.1  # residuals count no further than this when kinds are compared
MODEL_FLOOR_MM = 0.003  # kinds whose residuals differ by less than this are told apart by their simplicity
FULLY_ROUND = 0.9  # of the half width: a larger corner makes the top fully round


class Fitted(NamedTuple):
    """The sections of a segment fitted as one kind."""

    kind: Kind
    fits: Fits
    points: Batch
    rms: Array  # clipped residual of each section
    form: float  # systematic misfit of the shape, rms over the outline


def fit_kind(
    kind: Kind,
    points: Batch,
    start: Array | None = None,
    shared: dict[int, tuple[float, float]] | None = None,
) -> Fitted:
    """Fit all sections of `points` as `kind`; `shared` fixes parameters: column -> (value, variance)."""
    shape, fixed = SHAPES[kind], shared or {}
    whole = shape.start(extents(points)) if start is None else start.copy()
    free = [k for k in range(whole.shape[1]) if k not in fixed]
    for column, (value, _) in fixed.items():
        whole[:, column] = value

    def complete(part: Array) -> Array:
        theta = whole.copy()
        theta[:, free] = part
        return theta

    fits = fit_robust(lambda part: shape.distance(complete(part), points.x, points.y), whole[:, free], points.base)
    spread = np.zeros((len(whole), whole.shape[1], whole.shape[1]))
    spread[:, np.array(free)[:, None], np.array(free)] = fits.spread
    for column, (_, variance) in fixed.items():
        spread[:, column, column] = variance / fits.scale**2 * points.independent / POINTS
    fits = fits._replace(theta=complete(fits.theta), spread=spread)
    clipped = np.minimum(np.abs(fits.residual), CLIP_MM) ** 2
    rms = np.sqrt((clipped * points.base).sum(axis=1) / points.base.sum(axis=1).clip(1.0))
    return Fitted(kind, fits, points, rms, _form(fits, points, rms))


def shared_along(fitted: Fitted) -> dict[int, tuple[float, float]]:
    """Roll, wall taper and corner radii, the same all along a straight segment: median and its variance."""
    well = (fitted.rms <= worst_like(fitted.rms, fitted.points)) & (fitted.points.base[:, 0] > 0)
    columns = {Kind.ROUND: [], Kind.PARALLEL: [2, 5, 6, 7]}.get(fitted.kind, [2])
    if well.sum() < 5:
        return {}
    values = fitted.fits.theta[well]
    middle = np.median(values, axis=0)
    spread = 1.4826 * np.median(np.abs(values - middle), axis=0)
    if fitted.kind is Kind.PARALLEL:
        half = min(middle[3], middle[4])
        # a corner all but as wide as the bar is a fully round top: noise alone would keep it just short of that
        middle[5:7] = np.where(middle[5:7] > FULLY_ROUND * half, 2 * half, middle[5:7])
    return {k: (float(middle[k]), float(1.57 * spread[k] ** 2 / well.sum())) for k in columns}


def _form(fits: Fits, points: Batch, rms: Array) -> float:
    """Rms over 24 directions of the mean residual of the like sections, less what noise alone would leave."""
    like = (rms <= worst_like(rms, points)) & (points.base[:, 0] > 0)
    fits, points = Fits(*(field[like] for field in fits)), take(points, like)
    if not len(points.x):
        return 0.0
    middle_x, middle_y = np.median(points.x, axis=1)[:, None], np.median(points.y, axis=1)[:, None]
    sector = ((np.arctan2(points.y - middle_y, points.x - middle_x) / np.pi + 1) * 11.999).astype(int)
    weight = fits.weight
    total = np.bincount(sector.ravel(), weights=weight.ravel(), minlength=24)
    sums = np.bincount(sector.ravel(), weights=(weight * fits.residual).ravel(), minlength=24)
    mean = sums / total.clip(1e-9)
    share = points.independent.mean() / points.x.shape[1]
    chance = float(np.mean(fits.scale**2)) / np.maximum(total * share, 1.0)
    used = total > 0
    return float(np.sqrt(max(float((mean[used] ** 2 - chance[used]).mean()), 0.0))) if used.any() else 0.0


def worst_like(rms: Array, points: Batch) -> float:
    """Residual above which a section is unlike the others."""
    used = points.base[:, 0] > 0
    return 1.5 * float(np.median(rms[used])) + 0.01 if used.any() else 0.0


def choose_kind(points: Batch) -> Kind:
    """The kind that explains these sections best for its number of parameters (Schwarz G, Ann Stat 1978;6:461)."""
    scores, points = {}, thinned(points)
    for kind, shape in SHAPES.items():
        found = fit_kind(kind, points)
        floor = MODEL_FLOOR_MM**2 + (points.facet_mm**2 / 8) ** 2
        misfit = points.independent * np.log(found.rms**2 + floor)
        score = misfit + found.fits.theta.shape[1] * np.log(points.independent)
        # the median: sections at a support are of no kind and must not decide
        scores[kind] = float(np.median(np.where(shape.plausible(found.fits.theta), score, np.inf)))
    return min(scores, key=lambda kind: scores[kind])


def few(points: Batch, most: int = 12) -> Batch:
    """Up to `most` of the sections, evenly spread, best-scanned ones first."""
    full = np.flatnonzero((points.base.sum(axis=1) > 0) & (points.independent > 0.6 * np.median(points.independent)))
    chosen = full[np.unique(np.linspace(0, len(full) - 1, most).round().astype(int))] if len(full) else full
    return take(points, chosen)


def take(points: Batch, rows: Ints | Flags) -> Batch:
    """Some sections of a batch."""
    return Batch(*(field[rows] for field in points))


def thinned(points: Batch) -> Batch:
    """Every second point: enough to tell kinds apart."""
    return points._replace(x=points.x[:, ::2], y=points.y[:, ::2], base=points.base[:, ::2])
