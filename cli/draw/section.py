"""A stretch of bar cut across: width, height, undercut and gap. The form is schematic, the sizes are to scale."""

from __future__ import annotations

import math
from typing import Literal

from cli.draw import marks
from cli.draw.canvas import INK, XY, Canvas, Pen
from cli.wording.numbers import Figures
from solver.case.measure import Measure
from solver.case.schema import Segment

_GUESS_MM = 1.8
_PAGE_MM = 16.0
_STEPS = 24


def section(name: str, segment: Segment, figures: Figures, prefix: str) -> Canvas:
    """The cut, with a dimension at each measure; a measure that is missing is drawn broken and marked `?`."""
    width, height = segment.width_mm.value or _GUESS_MM, segment.height_mm.value or _GUESS_MM
    canvas = Canvas(prefix, _PAGE_MM / max(width, height, 1.0), f"Section of {name}")
    measured = segment.width_mm.known and segment.height_mm.known
    pen = Pen(INK, 0.35, "#c9c9c9") if measured else Pen(INK, 0.35, "#ffffff", dash_mm=(1.0, 0.7))
    undercut = segment.undercut_mm.value
    canvas.line(outline(segment.section, width, height, undercut), pen, "section", closed=True)
    _dimensions(canvas, segment, width, height, figures)
    foot = canvas.box.bottom + canvas.page(5.0)
    shape = {"unknown": "section not known", "parallel": "parallel-sided"}.get(segment.section, segment.section)
    canvas.text((0, foot), f"segment {name}", anchor="middle", bold=True)
    canvas.text((0, foot + canvas.page(4.0)), shape, anchor="middle")
    return canvas


def outline(
    form: Literal["round", "ovoid", "parallel", "keyhole", "unknown"],
    width: float,
    height: float,
    undercut: float | None,
) -> list[XY]:
    """Closed outline about x = 0, underside at y = 0, top at y = -height.

    The sides run in by the undercut below the widest place; where it is not known, as far as the form would have it.
    """
    half = width / 2
    if form == "parallel":
        run = undercut or 0.0
        return [
            (-half, -height),
            (half, -height),
            (half, -height / 2),
            (half - run, 0),
            (run - half, 0),
            (-half, -height / 2),
        ]
    head = min(height, width) if form == "keyhole" else height
    run = min(half, {"keyhole": half * 0.4}.get(form, half) if undercut is None else undercut)
    middle = -height + head / 2
    right = [(half * math.sin(a), middle - head / 2 * math.cos(a)) for a in _angles(0, math.pi / 2)] + [
        (half - run + run * math.cos(a), middle + head / 2 * math.sin(a)) for a in _angles(0, math.pi / 2)
    ]
    if form == "keyhole":
        right.append((half - run, 0.0))
    return right + [(-x, y) for x, y in reversed(right)]


def _angles(start: float, stop: float) -> list[float]:
    return [start + (stop - start) * k / _STEPS for k in range(_STEPS + 1)]


def _dimensions(canvas: Canvas, segment: Segment, width: float, height: float, figures: Figures) -> None:
    gap_mm, far = segment.gap_mm.value, canvas.page(4.0)
    half = width / 2
    top, side = -height - far, half + far
    _dimension(canvas, (-half, top), (half, top), ("width", segment.width_mm), figures)
    _dimension(canvas, (side, -height), (side, 0), ("height", segment.height_mm), figures)
    for x in (-half, half):
        canvas.line([(x, top - canvas.page(1)), (x, -height / 2)], Pen(marks.FAINT, 0.12))
    for y in (-height, 0.0):
        canvas.line([(0 if y else half / 2, y), (side + canvas.page(1), y)], Pen(marks.FAINT, 0.12))
    _undercut(canvas, segment, half, figures)
    shown = min(gap_mm if gap_mm is not None else 1.0, canvas.page(24))
    pen = Pen(INK, 0.5) if gap_mm is not None and gap_mm == shown else Pen(INK, 0.5, dash_mm=(1.0, 0.7))
    canvas.line([(-half - far, shown), (side, shown)], pen, "mucosa")
    _dimension(canvas, (side, 0), (side, shown), ("gap", segment.gap_mm), figures)


def _undercut(canvas: Canvas, segment: Segment, half: float, figures: Figures) -> None:
    """How far the side runs in below the widest place, with the line that a part comes down along."""
    low = canvas.page(1.6)
    run = segment.undercut_mm.value or 0.0
    canvas.line([(-half, -segment_height(segment) / 2), (-half, low)], Pen(marks.FAINT, 0.2, dash_mm=(0.8, 0.5)))
    if run:
        canvas.line([(-half, low), (run - half, low)], Pen(INK, 0.5), "undercut")
    text = f"undercut {_told(segment.undercut_mm, figures)}"
    canvas.text((-half - canvas.page(1.2), low + canvas.page(0.4)), text, anchor="end")


def segment_height(segment: Segment) -> float:
    """Height as drawn."""
    return segment.height_mm.value or _GUESS_MM


def _dimension(canvas: Canvas, start: XY, stop: XY, named: tuple[str, Measure], figures: Figures) -> None:
    """A line between two bars, with the name and the measure beside it."""
    text, tick, upright = f"{named[0]} {_told(named[1], figures)}", canvas.page(0.9), start[0] == stop[0]
    canvas.line([start, stop], Pen(INK, 0.2), named[0])
    for x, y in (start, stop):
        dx, dy = (tick, 0.0) if upright else (0.0, tick)
        canvas.line([(x - dx, y - dy), (x + dx, y + dy)], Pen(INK, 0.25))
    if upright:
        canvas.text((start[0] + canvas.page(2.0), (start[1] + stop[1]) / 2 + canvas.page(0.9)), text)
    else:
        canvas.text(((start[0] + stop[0]) / 2, start[1] - canvas.page(1.4)), text, anchor="middle")


def _told(measure: Measure, figures: Figures) -> str:
    return figures.measure(measure) if measure.known else "?"
