"""A sheet of section drawings to scale (SVG): one typical section per segment, with its measures.

Marks: thick line = fitted outline; dots = scan; thin cross = bar axis; bracketed lines = width and height.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from xml.etree import ElementTree as Xml

import numpy as np

from solver.scan.bar.segment import Segment
from solver.scan.measure import BarScan
from solver.scan.section.figure import Figure, Measured
from solver.scan.section.section import Section
from solver.scan.surface.mesh import Array

SCALE = 10.0  # drawing mm per mm of bar
CELL_MM = 70.0  # room of one section on the sheet
TEXT_MM = 18.0  # of which for words beneath
PER_ROW = 3
DOTS = 80


def section_sheet(scan: BarScan, titles: Mapping[int, str] = MappingProxyType({})) -> str:
    """The SVG text; sizes are true at SCALE : 1 when printed at 100 %. `titles`: number of a segment -> its name."""
    rows = -(-len(scan.segments) // PER_ROW)
    width, height = PER_ROW * CELL_MM, rows * (CELL_MM + TEXT_MM) + 16.0
    root = Xml.Element(
        "svg",
        xmlns="http://www.w3.org/2000/svg",
        width=f"{width:.0f}mm",
        height=f"{height:.0f}mm",
        viewBox=f"0 0 {width:.0f} {height:.0f}",
    )
    Xml.SubElement(root, "title").text = "Bar sections seen along the bar, out is up"
    for number, segment in enumerate(scan.segments):
        x = (number % PER_ROW + 0.5) * CELL_MM
        y = number // PER_ROW * (CELL_MM + TEXT_MM) + CELL_MM / 2
        _cell(root, titles.get(number, f"Segment {number + 1}"), segment, x, y)
    _scale_bar(root, 8.0, height - 8.0)
    return Xml.tostring(root, encoding="unicode")


def typical_section(segment: Segment) -> Section | None:
    """The section whose width is nearest to the segment's median."""
    median = segment.width_mm.median
    fitted = [s for s in segment.sections if s.kind is not None and isinstance(s.width_mm, Figure)]
    if not fitted or not isinstance(median, Figure):
        return None
    return min(fitted, key=lambda s: abs(s.width_mm.value - median.value))  # type: ignore[union-attr]


def _cell(root: Xml.Element, name: str, segment: Segment, x: float, y: float) -> None:
    section = typical_section(segment)
    lines = [name, f"{segment.kind or 'kind unknown'}, length {_text(segment.length_mm)}"]
    if section is None:
        lines.append("no section known")
    else:
        _section(root, section, x, y)
        lines.append(f"width {_text(section.width_mm)}, height {_text(section.height_mm)}")
        lines.append(f"undercut {_text(section.undercut_left_mm)} / {_text(section.undercut_right_mm)}")
    for row, line in enumerate(lines):
        _words(root, x, y + CELL_MM / 2 + 4.0 * (row + 1) - 2.0, line, 3.6 if row == 0 else 2.8)


def _section(root: Xml.Element, section: Section, x: float, y: float) -> None:
    middle = (section.outline.max(axis=0) + section.outline.min(axis=0)) / 2
    place = np.array([x, y])

    def on_sheet(points: Array) -> Array:
        found: Array = place + (points - middle) * [SCALE, -SCALE]
        return found

    for dot in on_sheet(section.points[:: max(len(section.points) // DOTS, 1)]):
        if np.abs(dot - place).max() < CELL_MM / 2:
            Xml.SubElement(root, "circle", cx=_n(dot[0]), cy=_n(dot[1]), r="0.35", fill="#777")
    outline = " ".join(f"{_n(p[0])},{_n(p[1])}" for p in on_sheet(section.outline))
    Xml.SubElement(root, "polygon", {"points": outline, "fill": "none", "stroke": "#000", "stroke-width": "0.5"})
    for arm in (np.array([2.0, 0.0]), np.array([0.0, 2.0])):
        cross = on_sheet(np.zeros((1, 2)))[0]
        _line(root, cross - arm, cross + arm, 0.15)
    low, high = on_sheet(section.outline).min(axis=0), on_sheet(section.outline).max(axis=0)
    if isinstance(section.width_mm, Figure):
        _bracket(root, np.array([low[0], high[1] + 3]), np.array([high[0], high[1] + 3]))
    if isinstance(section.height_mm, Figure):
        _bracket(root, np.array([high[0] + 3, low[1]]), np.array([high[0] + 3, high[1]]))


def _bracket(root: Xml.Element, start: Array, end: Array) -> None:
    """A measured length: a line with a stroke across each end."""
    way = (end - start) / np.linalg.norm(end - start)
    across = np.array([-way[1], way[0]])
    _line(root, start, end, 0.2)
    for tip in (start, end):
        _line(root, tip - across, tip + across, 0.2)


def _scale_bar(root: Xml.Element, x: float, y: float) -> None:
    """Five millimetres of bar, with a stroke at each."""
    _line(root, np.array([x, y]), np.array([x + 5 * SCALE, y]), 0.3)
    for mark in range(6):
        at = np.array([x + mark * SCALE, y])
        _line(root, at, at - [0.0, 1.5], 0.3)
    _words(root, x + 5 * SCALE + 12.0, y + 0.5, f"5 mm, drawn {SCALE:.0f} : 1", 2.8)


def _line(root: Xml.Element, start: Array, end: Array, width: float) -> None:
    ends = {"x1": _n(start[0]), "y1": _n(start[1]), "x2": _n(end[0]), "y2": _n(end[1])}
    Xml.SubElement(root, "line", {**ends, "stroke": "#000", "stroke-width": f"{width}"})


def _words(root: Xml.Element, x: float, y: float, text: str, size: float) -> None:
    style = {"font-size": f"{size}", "font-family": "sans-serif", "text-anchor": "middle"}
    Xml.SubElement(root, "text", {"x": _n(x), "y": _n(y), **style}).text = text


def _text(figure: Measured) -> str:
    return f"{figure.value:.2f} ± {max(figure.error, 0.005):.2f} mm" if isinstance(figure, Figure) else "unknown"


def _n(number: float) -> str:
    return f"{number:.2f}"
