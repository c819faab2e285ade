"""Measure the sections of one segment: kind, size, head, undercut, each figure with its error."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.ndimage import median_filter
from scipy.spatial import cKDTree

from solver.scan.figure import Figure, Measured, Reason, Unknown
from solver.scan.fit import STEP, Fits, fit_robust
from solver.scan.gap import gap_to_mucosa
from solver.scan.gather import POINTS, Batch, batch, extents, main_cluster, only
from solver.scan.mesh import Array
from solver.scan.shapes import SHAPES, Kind
from solver.scan.slicing import Cuts, Frame, cut
from solver.scan.undercut import FOOT_MM, undercut

STEP_MM = 0.25  # between sections
SPREAD_MM = 0.05  # between points on a cut
WINDOW_MM = 5.0  # half size of what a section looks at: the tallest bar and the mucosa beneath
NEAR_MM = 0.25  # a point further from the fitted outline is not of the bar
CLIP_MM = 0.1  # residuals count no further than this when kinds are compared
MODEL_FLOOR_MM = 0.003  # kinds whose residuals differ by less than this are told apart by their simplicity
WORST_FIT_MM = 0.06  # rms residual beyond noise above which no known shape fits
COVERED_MM = 0.13  # an outline point is covered when the scan comes this near
LEAST_COVERED = 0.75  # share of the outline that must be covered before a kind is named
FULLY_ROUND = 0.9  # of the half width
FLOOR_MM = 0.002  # no figure is claimed to be better than this
SIGMAS = 2.0  # of the error of a fit


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """One cut square to the axis. left = towards +l, right = towards -l; outline and points are (l, v), mm."""

    station_mm: float
    kind: Kind | None
    residual_mm: float
    width_mm: Measured
    height_mm: Measured
    head_diameter_mm: Measured
    undercut_left_mm: Measured
    undercut_right_mm: Measured
    gap_mm: Measured
    outline: Array
    points: Array


class Fitted(NamedTuple):
    """The sections of a segment fitted as one kind."""

    kind: Kind
    fits: Fits
    points: Batch
    rms: Array  # clipped residual of each section
    form: float  # systematic misfit of the shape, rms over the outline


def gather(triangles: Array, frame: Frame, stations: Array) -> tuple[Cuts, Cuts]:
    """All points of the cuts, and those of the run around the axis."""
    cuts = cut(triangles, frame, stations, SPREAD_MM, WINDOW_MM)
    return cuts, only(cuts, main_cluster(cuts, len(stations)))


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

    fits = fit_robust(
        lambda part: shape.distance(complete(part), points.x, points.y), whole[:, free], points.base
    )
    spread = np.zeros((len(whole), whole.shape[1], whole.shape[1]))
    spread[np.ix_(np.arange(len(whole)), free, free)] = fits.spread
    for column, (_, variance) in fixed.items():
        spread[:, column, column] = variance / fits.scale**2 * points.independent / POINTS
    fits = fits._replace(theta=complete(fits.theta), spread=spread)
    clipped = np.minimum(np.abs(fits.residual), CLIP_MM) ** 2
    rms = np.sqrt((clipped * points.base).sum(axis=1) / points.base.sum(axis=1).clip(1.0))
    return Fitted(kind, fits, points, rms, _form(fits, points, rms))


def shared_along(fitted: Fitted) -> dict[int, tuple[float, float]]:
    """Roll, wall taper and corner radii, the same all along a straight segment: median of its sections and its variance."""
    well = (fitted.rms <= _limit(fitted.rms, fitted.points)) & (fitted.points.base[:, 0] > 0)
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
    like = (rms <= _limit(rms, points)) & (points.base[:, 0] > 0)
    fits, points = Fits(*(field[like] for field in fits)), take(points, like)
    if not len(points.x):
        return 0.0
    middle_x, middle_y = np.median(points.x, axis=1)[:, None], np.median(points.y, axis=1)[:, None]
    sector = ((np.arctan2(points.y - middle_y, points.x - middle_x) / np.pi + 1) * 11.999).astype(int)
    weight = fits.weight
    total = np.bincount(sector.ravel(), weights=weight.ravel(), minlength=24)
    mean = np.bincount(sector.ravel(), weights=(weight * fits.residual).ravel(), minlength=24)
    mean /= total.clip(1e-9)
    share = points.independent.mean() / points.x.shape[1]
    chance = float(np.mean(fits.scale**2)) / np.maximum(total * share, 1.0)
    used = total > 0
    return float(np.sqrt(max(float((mean[used] ** 2 - chance[used]).mean()), 0.0))) if used.any() else 0.0


def _limit(rms: Array, points: Batch) -> float:
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
    full = np.flatnonzero(
        (points.base.sum(axis=1) > 0) & (points.independent > 0.6 * np.median(points.independent))
    )
    chosen = full[np.unique(np.linspace(0, len(full) - 1, most).round().astype(int))] if len(full) else full
    return take(points, chosen)


def take(points: Batch, rows: Array) -> Batch:
    """Some sections of a batch."""
    return Batch(*(field[rows] for field in points))


def thinned(points: Batch) -> Batch:
    """Every second point: enough to tell kinds apart."""
    return points._replace(x=points.x[:, ::2], y=points.y[:, ::2], base=points.base[:, ::2])


def measure_sections(
    triangles: Array, frame: Frame, stations: Array, kind: Kind | None = None, gaps: bool = True
) -> list[Section]:
    """Sections at evenly spaced `stations` along the axis of `frame` (mm from its origin).

    `kind` is the segment's own kind where it is known already. `gaps` = False leaves the mucosa out.
    """
    cuts = cut(triangles, frame, stations, SPREAD_MM, WINDOW_MM)
    around = main_cluster(cuts, len(stations))
    own, other = only(cuts, around), only(cuts, ~around)
    if not len(own.plane):
        return [_blank(float(station)) for station in stations]
    points = batch(own, len(stations))
    main = choose_kind(few(points)) if kind is None else kind
    fitted = fit_kind(main, points if main is Kind.PARALLEL else thinned(points))
    own = only(cuts, _belongs(fitted, cuts))
    points = batch(own, len(stations))
    fitted = fit_kind(main, points, fitted.fits.theta, shared_along(fitted))
    return _with_others(fitted, other, own, stations, gaps)


def _belongs(fitted: Fitted, cuts: Cuts) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Points near the fitted outline: also beyond a hole that parts them from the rest."""
    theta = fitted.fits.theta[cuts.plane]
    apart = SHAPES[fitted.kind].distance(theta, cuts.at[:, :1], cuts.at[:, 1:])[:, 0]
    near: np.ndarray[tuple[int], np.dtype[np.bool_]] = np.abs(apart) < NEAR_MM
    return near


def _with_others(fitted: Fitted, other: Cuts, own: Cuts, stations: Array, gaps: bool) -> list[Section]:
    """Sections of the main kind; those it fits badly are tried as the other kinds."""
    limit = _limit(fitted.rms, fitted.points)
    sections = _sections(fitted, other, own, stations, gaps)
    odd = np.flatnonzero((fitted.rms > limit) & (fitted.points.base.sum(axis=1) > 0))
    if not len(odd):
        return sections
    for kind in SHAPES:
        again = fit_kind(kind, thinned(take(fitted.points, odd)))
        possible = SHAPES[kind].plausible(again.fits.theta) & (again.rms <= limit)
        for place in np.flatnonzero(possible & (again.rms < fitted.rms[odd])):
            row = int(odd[place])
            if sections[row].kind is None:
                one = Fitted(kind, _rows(again.fits, [place]), take(again.points, np.array([place])),
                             again.rms[[place]], again.form)  # fmt: skip
                mine = only(own, own.plane == row)
                local = mine._replace(plane=np.zeros_like(mine.plane))
                every = only(other, other.plane == row)
                every = every._replace(plane=np.zeros_like(every.plane))
                sections[row] = _sections(one, every, local, stations[[row]], gaps, limit)[0]
    return sections


def _rows(fits: Fits, rows: list[int]) -> Fits:
    return Fits(*(field[rows] for field in fits))


def _sections(
    fitted: Fitted, other: Cuts, own: Cuts, stations: Array, gaps: bool, limit: float | None = None
) -> list[Section]:
    """Turn fits into figures."""
    theta, points = fitted.fits.theta, fitted.points
    outline = SHAPES[fitted.kind].outline(theta)
    covered = _covered(outline, own)
    values = figures_of(fitted.kind, theta)
    errors = _errors(fitted, values)
    share = _covered_share(outline, covered)
    most = _limit(fitted.rms, points) if limit is None else limit
    fits_well = (fitted.rms <= most) & (fitted.form < WORST_FIT_MM) & SHAPES[fitted.kind].plausible(theta)
    fits_well &= points.base.sum(axis=1) > 0
    order = np.argsort(other.plane, kind="stable")
    bounds = np.searchsorted(other.plane[order], np.arange(len(stations) + 1))
    sections = []
    for row, station in enumerate(stations):
        if not fits_well[row]:
            sections.append(_blank(float(station), outline[row], points, row))
            continue
        seen = _seen(outline[row], covered[row], fitted.kind, theta[row])
        figures = [
            Figure(float(values[row, k]), float(errors[row, k])) if ok else Unknown(Reason.NOT_COVERED)
            for k, ok in enumerate(seen)
        ]
        gap: Measured = Unknown(Reason.NOT_COVERED)
        if gaps and seen[5]:
            beneath = other.at[order[bounds[row] : bounds[row + 1]]]
            sag = float(points.facet_mm[row] ** 2 / 8)
            gap = gap_to_mucosa(outline[row], beneath, 2 * float(np.median(points.facet_mm)), sag)
            if isinstance(gap, Figure):
                gap = Figure(gap.value, float(np.hypot(gap.error, errors[row, 5])))
        head = figures[2] if fitted.kind in (Kind.ROUND, Kind.KEYHOLE) else Unknown(Reason.NOT_APPLICABLE)
        sections.append(
            Section(
                float(station),
                fitted.kind if share[row] >= LEAST_COVERED else None,
                float(fitted.fits.scale[row]),
                figures[0],
                figures[1],
                head,
                figures[3],
                figures[4],
                gap,
                outline[row],
                np.stack([points.x[row], points.y[row]], axis=1),
            )
        )
    return sections


def _blank(
    station: float, outline: Array | None = None, points: Batch | None = None, row: int = 0
) -> Section:
    """A section of which nothing is known."""
    reason = Unknown(Reason.NO_FIT if points is not None and points.base[row].any() else Reason.NOT_COVERED)
    empty = np.zeros((0, 2))
    shown = (
        empty if points is None else np.stack([points.x[row], points.y[row]], axis=1)[points.base[row] > 0]
    )
    return Section(station, None, float("nan"), *(reason,) * 6, empty, shown)


def figures_of(kind: Kind, theta: Array) -> Array:
    """Width, height, head diameter, undercut left and right, level of the underside; shape (S, 6)."""
    outline = SHAPES[kind].outline(theta)
    high, low = outline.max(axis=1), outline.min(axis=1)
    left, right = undercut(outline)
    head = 2 * theta[:, {Kind.ROUND: 2}.get(kind, 3)]
    return np.stack([*(high - low).T, head, left, right, low[:, 1]], axis=1)


def _errors(fitted: Fitted, values: Array) -> Array:
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
    return np.sqrt(np.maximum(of_fit, disagreement(values)) ** 2 + sag**2 + form**2 + FLOOR_MM**2)


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
        radius = theta[:, {Kind.ROUND: 2}.get(fitted.kind, 3)]
    sag: Array = fitted.points.facet_mm**2 / (8 * np.maximum(radius, 0.1))
    return sag


def _covered(outline: Array, own: Cuts) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Whether the scan comes near each outline point, shape (S, Q)."""
    far = 1000.0
    tree = cKDTree(np.column_stack([own.plane * far, own.at]))
    planes = np.repeat(np.arange(len(outline)) * far, outline.shape[1])
    distance, _ = tree.query(
        np.column_stack([planes, outline.reshape(-1, 2)]), distance_upper_bound=2 * COVERED_MM
    )
    near: np.ndarray[tuple[int, int], np.dtype[np.bool_]] = (distance < COVERED_MM).reshape(outline.shape[:2])
    return near


def _covered_share(outline: Array, covered: Array) -> Array:
    length = np.linalg.norm(np.roll(outline, -1, axis=1) - outline, axis=2)
    share: Array = (length * covered).sum(axis=1) / length.sum(axis=1).clip(1e-9)
    return share


def _seen(outline: Array, covered: Array, kind: Kind, theta: Array) -> list[bool]:
    """Which of the six figures rest on covered parts of the outline."""
    x, y = outline[:, 0], outline[:, 1]
    left, right, top, low = (_mostly(covered, measure >= measure.max() - 0.02) for measure in (x, -x, y, -y))
    head = {Kind.ROUND: 2}.get(kind, 3)
    upper = y > y.max() - 1.5 * abs(float(theta[head])) if kind in (Kind.ROUND, Kind.KEYHOLE) else y > -np.inf
    middle = (x.max() + x.min()) / 2
    sides = []
    for side, contour in ((x > middle, x), (x < middle, -x)):
        level = y[contour.argmax()]
        sides.append(_mostly(covered, side & (y <= level + 0.1) & (y >= y.min() + FOOT_MM / 2), 0.8))
    return [
        left and right,
        top and low,
        _mostly(covered, upper, 0.6),
        left and sides[0],
        right and sides[1],
        low,
    ]


def _mostly(covered: Array, part: Array, least: float = 0.5) -> bool:
    return bool(part.any() and covered[part].mean() >= least)
