"""Measure a bar in a mesh: segments, angles, supports, ends. The only function callers need is `measure_bar`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from solver.scan.bar.axes import angle_between
from solver.scan.bar.centreline import Line, find_places, lines_through, refine
from solver.scan.bar.chain import Span, chain
from solver.scan.bar.direction import checked_direction, show_out, split_posts
from solver.scan.bar.ends import End, find_ends
from solver.scan.bar.segment import Segment, Stretch, main_kind, summary, usable_stretch
from solver.scan.bar.stops import with_ends, with_supports
from solver.scan.bar.support import Support
from solver.scan.errors import BadDirection, NoBarFound
from solver.scan.section.figure import Figure, Measured, Reason, Unknown, root_sum
from solver.scan.section.kinds import choose_kind, few, fit_kind
from solver.scan.section.section import STEP_MM, WINDOW_MM, Section, gather, measure_sections
from solver.scan.section.shapes import SHAPES, Kind
from solver.scan.section.undercut import Draw, Profile, best_draw
from solver.scan.surface.mesh import Array, Mesh, along_axis
from solver.scan.surface.sampling import batch
from solver.scan.surface.slicing import Frame, frame_for, unit

SQUARE_DEG = 15.0  # a segment within this of square to the bisector is called square (choice, no source)
MARGIN = 0.12  # of a given span left out at each end while its axis is sought
FIGURES = ("width_mm", "height_mm", "head_diameter_mm", "undercut_left_mm", "undercut_right_mm", "gap_mm")

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class BarScan:
    """All measurements of a bar. `angles_deg[k]` is between the axes of segments k and k+1 (0 = in line)."""

    segments: tuple[Segment, ...]
    angles_deg: tuple[Measured, ...]
    supports: tuple[Support, ...]
    ends: tuple[End, ...]
    out: Point
    out_given: bool
    best_draw: Draw | None


def measure_bar(
    mesh: Mesh,
    *,
    out: Sequence[float] | None = None,
    spans: Sequence[tuple[Sequence[float], Sequence[float]]] | None = None,
    bisector: Sequence[float] | None = None,
) -> BarScan:
    """Measure the bar in `mesh` (mm).

    `out`: path of removal; without it the direction of best common draw is computed. `spans`: end points of each
    straight segment, about 1 mm right; without them the segments are proposed. `bisector`: of the arch; without it
    taken from the outermost ends where there are two segments or more.
    Raises `NoBarFound`, `OutNotShown` (no `out` given and none to be seen), `BadDirection`.
    """
    given = None if out is None else checked_direction("path of removal", out)
    lines, posts = _lines(mesh, spans, given)
    way = show_out(mesh, lines, posts) if given is None else given
    axes = [refine(_about(mesh, line), line, way) for line in lines]
    stretches = [with_ends(span) for span in chain(axes)]
    typical = [_typical(span, way) for span in stretches]
    profiles = [profile for _, profile in typical if profile is not None]
    draw = best_draw(profiles, way) if profiles else None
    if given is None and draw is not None and draw.loose_deg < 8.0:
        way = np.array(draw.out)
    stretches, found = with_supports(stretches, way)
    middle = _bisector(stretches, way, bisector)
    segments = [_segment(span, kind, way, middle) for span, (kind, _) in zip(stretches, typical, strict=True)]
    return BarScan(
        tuple(segments),
        tuple(_angle(one, other) for one, other in pairwise(stretches)),
        tuple(found),
        tuple(find_ends(mesh, stretches, way)),
        _point(way),
        given is not None,
        draw,
    )


def _point(vector: Array) -> Point:
    return float(vector[0]), float(vector[1]), float(vector[2])


def _lines(
    mesh: Mesh, spans: Sequence[tuple[Sequence[float], Sequence[float]]] | None, out: Array | None
) -> tuple[list[Line], list[Line]]:
    """(segments, posts) as given, or as proposed."""
    if spans is not None:
        return [_given_line(*span) for span in spans], []
    bars, posts = split_posts(lines_through(find_places(mesh)), out)
    if not bars:
        raise NoBarFound(len(mesh.triangles))
    return bars, posts


def _given_line(start: Sequence[float], end: Sequence[float]) -> Line:
    first, last = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    if first.shape != (3,) or last.shape != (3,) or not np.isfinite([first, last]).all():
        raise BadDirection("end points", f"`{start}` to `{end}` is no segment")
    length = float(np.linalg.norm(last - first))
    if length < 1.0:
        raise BadDirection("end points", f"{length:.2f} mm apart is too short for a segment")
    return Line(first, (last - first) / length, MARGIN * length, (1 - MARGIN) * length, 2.5)


def _about(mesh: Mesh, line: Line, beyond_mm: float = 8.0) -> Array:
    """Triangles near a stretch: its sections look no further."""
    return along_axis(mesh, line.origin, line.a, (line.low - beyond_mm, line.high + beyond_mm), WINDOW_MM + 1.5)


def _stations(span: Span) -> Array:
    count = max(int((span.end.station - span.start.station) / STEP_MM), 2)
    return span.start.station + STEP_MM * (np.arange(count, dtype=np.float64) + 0.5)


def _frame(span: Span, out: Array) -> Frame:
    return frame_for(span.axis.line.origin, span.axis.line.a, out)


def _typical(span: Span, out: Array) -> tuple[Kind | None, Profile | None]:
    """The kind of a stretch and its typical outline, from every third section."""
    frame = _frame(span, out)
    stations = _stations(span)[2:-2:3]
    if len(stations) < 2:
        return None, None
    own = gather(span.axis.triangles, frame, stations)
    points = few(batch(own, len(stations))) if len(own.plane) else None
    if points is None or len(points.x) < 2:
        return None, None
    kind = choose_kind(points)
    fitted = fit_kind(kind, points)
    middle = np.median(fitted.fits.theta[fitted.rms <= np.median(fitted.rms)], axis=0)[None]
    if not SHAPES[kind].plausible(middle)[0]:
        return None, None
    return kind, Profile(SHAPES[kind].outline(middle)[0], frame.a, frame.l, frame.v)


def _bisector(spans: list[Span], out: Array, given: Sequence[float] | None) -> Array | None:
    """Bisector of the arch, square to `out`: as given, or square to the line that joins the outermost ends."""
    if given is not None:
        way = checked_direction("bisector", given)
        flat = way - (way @ out) * out
        if np.linalg.norm(flat) < 0.1:
            raise BadDirection("bisector", "it runs along the path of removal")
        return unit(flat)
    if len(spans) < 2:
        return None
    chord = spans[-1].axis.line.at(spans[-1].end.station) - spans[0].axis.line.at(spans[0].start.station)
    square = np.cross(out, chord)
    return unit(square) if np.linalg.norm(square) > 1.0 else None


def _angle(one: Span, other: Span) -> Measured:
    error = root_sum(one.axis.direction_error_rad, other.axis.direction_error_rad)
    return angle_between(one.axis.line.a, other.axis.line.a, error)


def _segment(span: Span, kind: Kind | None, out: Array, bisector: Array | None) -> Segment:
    line = span.axis.line
    sections = measure_sections(span.axis.triangles, _frame(span, out), _stations(span), kind)
    usable = usable_stretch(sections, span.start.station)
    chosen = _inside(sections, usable, span.start.station)
    turned = _to_bisector(span, bisector)
    width, height, head, left, right, gap = (summary([getattr(s, name) for s in chosen]) for name in FIGURES)
    return Segment(
        start_mm=_point(line.at(span.start.station)),
        end_mm=_point(line.at(span.end.station)),
        axis=_point(line.a),
        length_mm=_length(span),
        bisector_angle_deg=turned,
        stance=_stance(turned),
        kind=main_kind(sections),
        width_mm=width,
        height_mm=height,
        head_diameter_mm=head,
        undercut_left_mm=left,
        undercut_right_mm=right,
        gap_mm=gap,
        usable=usable,
        sections=tuple(sections),
    )


def _inside(sections: list[Section], usable: Stretch | None, start: float) -> list[Section]:
    """Sections of the usable stretch; all where there is none."""
    if usable is None:
        return sections
    low, high = usable.from_mm, usable.to_mm
    return [s for s in sections if low - 1e-9 <= s.station_mm - start <= high + 1e-9]


def _length(span: Span) -> Measured:
    error = root_sum(span.start.error_mm, span.end.error_mm)
    if not np.isfinite(error):
        return Unknown(Reason.NOT_COVERED)
    return Figure(span.end.station - span.start.station, error)


def _to_bisector(span: Span, bisector: Array | None) -> Measured:
    if bisector is None:
        return Unknown(Reason.TOO_FEW)
    turned = angle_between(span.axis.line.a, bisector, span.axis.direction_error_rad)
    return Figure(min(turned.value, 180.0 - turned.value), turned.error)


def _stance(angle: Measured) -> str | None:
    """`square` or `diagonal` to the bisector; None where the error leaves it open."""
    if isinstance(angle, Unknown):
        return None
    off = 90.0 - angle.value
    if abs(off - SQUARE_DEG) <= angle.error:
        return None
    return "square" if off < SQUARE_DEG else "diagonal"
