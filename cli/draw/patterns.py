"""Fillings that are told apart without colour."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from xml.etree import ElementTree as ET

Maker = Callable[[str, float], ET.Element]


def _pattern(name: str, side: float, turn_deg: float = 0) -> ET.Element:
    size = f"{side:.4f}"
    named = {"id": name, "patternUnits": "userSpaceOnUse", "width": size, "height": size}
    if turn_deg:
        named["patternTransform"] = f"rotate({turn_deg:g})"
    return ET.Element("pattern", named)


def _lines(
    name: str,
    mm: float,
    *,
    apart: float,
    turn_deg: float,
    width: float = 0.25,
    ink: str = "#1a1a1a",
    cross: bool = False,
) -> ET.Element:
    side = apart * mm
    pattern = _pattern(name, side, turn_deg)
    middle, end = f"{side / 2:.4f}", f"{side:.4f}"
    strokes = [{"x1": middle, "y1": "0", "x2": middle, "y2": end}]
    if cross:
        strokes.append({"x1": "0", "y1": middle, "x2": end, "y2": middle})
    for stroke in strokes:
        ET.SubElement(pattern, "line", stroke | {"stroke": ink, "stroke-width": f"{width * mm:.4f}"})
    return pattern


def _dots(name: str, mm: float, *, apart: float, radius: float) -> ET.Element:
    side = apart * mm
    pattern = _pattern(name, side, 30)
    middle = f"{side / 2:.4f}"
    ET.SubElement(pattern, "circle", {"cx": middle, "cy": middle, "r": f"{radius * mm:.4f}", "fill": "#1a1a1a"})
    return pattern


PATTERNS: Mapping[str, Maker] = {
    "slanted": partial(_lines, apart=1.1, turn_deg=45),
    "level": partial(_lines, apart=0.9, turn_deg=90),
    "upright": partial(_lines, apart=1.6, turn_deg=0, width=0.15),
    "dotted": partial(_dots, apart=1.1, radius=0.22),
    "grained": partial(_dots, apart=2.0, radius=0.14),
    "missing": partial(_lines, apart=1.2, turn_deg=45, width=0.3, ink="#b3261e", cross=True),
}
"""By name; each takes the id and how long a millimetre of the page is in user units."""
