"""Measure the sections of one segment: kind, size, head, undercut, each figure with its error."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from solver.scan.section.coverage import Seen, covered_points, covered_share, seen_figures
from solver.scan.section.figure import Figure, Measured, Reason, Unknown, root_sum
from solver.scan.section.gap import gap_to_mucosa
from solver.scan.section.kinds import Fitted, choose_kind, few, fit_kind, shared_along, take, thinned, worst_like
from solver.scan.section.precision import errors_of, figures_of
from solver.scan.section.shapes import HEAD, SHAPES, Kind
from solver.scan.surface.mesh import Array, Flags
from solver.scan.surface.robust_fit import Fits
from solver.scan.surface.sampling import Batch, batch, main_cluster, only
from solver.scan.surface.slicing import Cuts, Frame, cut

STEP_MM = 0.25  # between sections
SPREAD_MM = 0.05  # between points on a cut
WINDOW_MM = 5.0  # half size of what a section looks at: the tallest bar and the mucosa beneath
NEAR_MM = 0.25  # a point further from the fitted outline is not of the bar
WORST_FORM_MM = 0.06  # systematic misfit above which no known shape fits
LEAST_COVERED = 0.75  # share of the outline that must be covered before a kind is named


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


class Pieces(NamedTuple):
    """The points of some planes: of the bar, and of everything else (mucosa, debris)."""

    own: Cuts
    other: Cuts

    def of_plane(self, row: int) -> Pieces:
        """One plane alone, as plane 0."""
        alone = [only(cuts, cuts.plane == row) for cuts in self]
        return Pieces(*(cuts._replace(plane=np.zeros_like(cuts.plane)) for cuts in alone))


def gather(triangles: Array, frame: Frame, stations: Array) -> Cuts:
    """The points of the cuts that run around the axis."""
    cuts = cut(triangles, frame, stations, SPREAD_MM, WINDOW_MM)
    return only(cuts, main_cluster(cuts, len(stations)))


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
    fitted = fit_kind(main, batch(own, len(stations)), fitted.fits.theta, shared_along(fitted))
    limit = worst_like(fitted.rms, fitted.points)
    pieces = Pieces(own, other if gaps else only(other, np.zeros(len(other.plane), dtype=bool)))
    sections = _sections(fitted, pieces, stations, limit)
    return _other_kinds(sections, fitted, pieces, limit)


def _belongs(fitted: Fitted, cuts: Cuts) -> Flags:
    """Points near the fitted outline: also beyond a hole that parts them from the rest."""
    theta = fitted.fits.theta[cuts.plane]
    apart = SHAPES[fitted.kind].distance(theta, cuts.at[:, :1], cuts.at[:, 1:])[:, 0]
    near: Flags = np.abs(apart) < NEAR_MM
    return near


def _other_kinds(sections: list[Section], fitted: Fitted, pieces: Pieces, limit: float) -> list[Section]:
    """The sections that the main kind fits badly, tried as the other kinds."""
    better = list(sections)
    odd = np.flatnonzero((fitted.rms > limit) & (fitted.points.base[:, 0] > 0))
    for kind in SHAPES if len(odd) else ():
        again = fit_kind(kind, thinned(take(fitted.points, odd)))
        good = SHAPES[kind].plausible(again.fits.theta) & (again.rms <= limit)
        for place in np.flatnonzero(good).tolist():
            row = int(odd[place])
            if better[row].kind is None:
                station = np.array([sections[row].station_mm])
                better[row] = _sections(_alone(again, place), pieces.of_plane(row), station, limit)[0]
    return better


def _alone(fitted: Fitted, place: int) -> Fitted:
    """One section of a fit."""
    row = np.array([place])
    fits = Fits(*(field[row] for field in fitted.fits))
    return Fitted(fitted.kind, fits, take(fitted.points, row), fitted.rms[row], fitted.form)


def _sections(fitted: Fitted, pieces: Pieces, stations: Array, limit: float) -> list[Section]:
    """Turn fits into figures; sections worse than `limit` stay blank."""
    theta, points = fitted.fits.theta, fitted.points
    outline = SHAPES[fitted.kind].outline(theta)
    covered = covered_points(outline, pieces.own)
    values = figures_of(fitted.kind, theta)
    errors = errors_of(fitted, values)
    named = covered_share(outline, covered) >= LEAST_COVERED
    good = (fitted.rms <= limit) & SHAPES[fitted.kind].plausible(theta) & (points.base[:, 0] > 0)
    good &= fitted.form < WORST_FORM_MM
    sections = []
    for row, station in enumerate(stations.tolist()):
        if not good[row]:
            sections.append(_blank(station, points, row))
            continue
        seen = seen_figures(outline[row], covered[row], fitted.kind, theta[row])
        width, height, head, left, right, _ = _figures(values[row], errors[row], seen)
        if fitted.kind not in HEAD:
            head = Unknown(Reason.NOT_APPLICABLE)
        kind = fitted.kind if named[row] else None
        gap = _gap(outline[row], pieces.other.at[pieces.other.plane == row], points, row, seen, errors[row, 5])
        residual, shown = float(fitted.fits.scale[row]), _shown(points, row)
        sections.append(Section(station, kind, residual, width, height, head, left, right, gap, outline[row], shown))
    return sections


def _figures(values: Array, errors: Array, seen: Seen) -> list[Measured]:
    return [
        Figure(float(value), float(error)) if ok else Unknown(Reason.NOT_COVERED)
        for value, error, ok in zip(values, errors, seen, strict=True)
    ]


def _gap(outline: Array, beneath: Array, points: Batch, row: int, seen: Seen, underside_error: float) -> Measured:
    if not seen.underside:
        return Unknown(Reason.NOT_COVERED)
    spacing, sag = 2 * float(np.median(points.facet_mm)), float(points.facet_mm[row] ** 2 / 8)
    gap = gap_to_mucosa(outline, beneath, spacing, sag)
    return Figure(gap.value, root_sum(gap.error, underside_error)) if isinstance(gap, Figure) else gap


def _shown(points: Batch, row: int) -> Array:
    found: Array = np.stack([points.x[row], points.y[row]], axis=1)[points.base[row] > 0]
    return found


def _blank(station: float, points: Batch | None = None, row: int = 0) -> Section:
    """A section of which nothing is known."""
    shown = np.zeros((0, 2)) if points is None else _shown(points, row)
    reason = Unknown(Reason.NO_FIT if len(shown) else Reason.NOT_COVERED)
    return Section(station, None, float("nan"), *(reason,) * 6, np.zeros((0, 2)), shown)
