"""The mark of each kind of attachment, told apart by shape and filling; used in drawings and in the legend.

Lengths along the bar are to scale; how broad a mark is, is not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from catalogue.blocks import AttachmentKind
from cli.draw.canvas import INK, XY, Canvas, Pen

ACCENT = "#0b4f8a"
"""Dark enough to read as ink where there is no colour."""
ALARM = "#b3261e"
FAINT = "#767676"

BAR = Pen("#4a4a4a", 0.2, "#8c8c8c")
UNMEASURED = Pen("#4a4a4a", 0.3, "#ffffff", dash_mm=(1.0, 0.7))
BAR_OFF = Pen("#9a9a9a", 0.25, "#ffffff", dash_mm=(0.4, 0.6))

HALF_MM = 1.9
"""Half the breadth of a mark, mm of the case at the scale of the view from above."""

KIND_NAMES: Mapping[AttachmentKind, str] = {
    "clip": "clip",
    "ball": "female over a ball",
    "stud": "stud",
    "magnet": "magnet",
    "lining": "soft lining",
    "bare": "left bare",
}


def mark(canvas: Canvas, kind: AttachmentKind, at: XY, along: XY, length_mm: float | None, of: str = "") -> None:
    """Draw one part at a point; `along` is the direction of the bar on the page (unit length)."""
    _MARKS[kind](canvas, at, along, length_mm, of)


def support(canvas: Canvas, at: XY, diameter_mm: float, measured: bool, of: str = "") -> None:
    """A support: a ring of its diameter with a cross in it; broken where the diameter was not measured."""
    radius = diameter_mm / 2
    canvas.circle(at, radius, Pen(fill="#ffffff", width_mm=0.35, dash_mm=() if measured else (0.9, 0.5)), of)
    arm = radius * 0.55
    for dx, dy in ((arm, 0.0), (0.0, arm)):
        canvas.line([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)], Pen(width_mm=0.25))


def demand_point(canvas: Canvas, at: XY, of: str = "") -> None:
    """A point that a bite presses down: a filled triangle that stands on it."""
    side = canvas.page(1.7)
    corners = [at, (at[0] - side * 0.6, at[1] - side), (at[0] + side * 0.6, at[1] - side)]
    canvas.line(corners, Pen(fill=INK, width_mm=0.1), of, closed=True)


def _turned(at: XY, along: XY, corners: list[XY]) -> list[XY]:
    """Corners given along and across the bar, on the page."""
    (ax, ay), (x, y) = along, at
    return [(x + u * ax - v * ay, y + u * ay + v * ax) for u, v in corners]


def _clip(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    u, v = (length_mm or 2 * HALF_MM) / 2, HALF_MM * 0.85
    corners = _turned(at, along, [(-u, -v), (u, -v), (u, v), (-u, v)])
    canvas.line(corners, Pen(ACCENT, 0.4, pattern="slanted"), of, closed=True)


def _ball(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    canvas.circle(at, HALF_MM, Pen(ACCENT, 0.4, "#ffffff"), of)
    canvas.circle(at, HALF_MM * 0.68, Pen(ACCENT, 0.3))
    canvas.circle(at, HALF_MM * 0.34, Pen(ACCENT, 0.3, ACCENT))


def _stud(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    r = HALF_MM * 1.15
    corners = [(at[0], at[1] - r), (at[0] + r, at[1]), (at[0], at[1] + r), (at[0] - r, at[1])]
    canvas.line(corners, Pen(ACCENT, 0.4, "#ffffff"), of, closed=True)
    canvas.line(
        [(x + (at[0] - x) * 0.5, y + (at[1] - y) * 0.5) for x, y in corners], Pen(ACCENT, 0.2, ACCENT), closed=True
    )


def _magnet(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    r = HALF_MM
    corners = [(at[0] + r * math.cos(k * math.pi / 3), at[1] + r * math.sin(k * math.pi / 3)) for k in range(6)]
    canvas.line(corners, Pen(ACCENT, 0.4, pattern="dotted"), of, closed=True)


def _lining(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    u = (length_mm or 2 * HALF_MM) / 2
    for v in (HALF_MM * 0.9, HALF_MM * 0.45):
        corners = _turned(at, along, [(-u, -v), (u, -v), (u, v), (-u, v)])
        canvas.line(corners, Pen(ACCENT, 0.3, "#ffffff"), of, closed=True)


def _bare(canvas: Canvas, at: XY, along: XY, length_mm: float | None, of: str) -> None:
    r = HALF_MM * 0.75
    canvas.circle(at, HALF_MM * 0.75, Pen(ACCENT, 0.35, "#ffffff", dash_mm=(0.7, 0.5)), of)
    canvas.line([(at[0] - r * 0.7, at[1] + r * 0.7), (at[0] + r * 0.7, at[1] - r * 0.7)], Pen(ACCENT, 0.35))


_MARKS: Mapping[AttachmentKind, Callable[[Canvas, XY, XY, float | None, str], None]] = {
    "clip": _clip,
    "ball": _ball,
    "stud": _stud,
    "magnet": _magnet,
    "lining": _lining,
    "bare": _bare,
}
