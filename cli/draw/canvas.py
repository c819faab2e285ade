"""A small SVG writer: millimetres of the case as user units, pens and letters in millimetres of the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias
from xml.etree import ElementTree as ET

from cli.draw.patterns import PATTERNS
from cli.legible import legible, width_em

XY: TypeAlias = tuple[float, float]
FONT = "DejaVu Sans, Noto Sans, Verdana, Arial, sans-serif"
LETTER_MM = 2.6
INK = "#1a1a1a"


@dataclass(frozen=True, slots=True)
class Pen:
    """Outline and filling. Widths and dashes in millimetres of the page; `pattern` names one of `PATTERNS`."""

    stroke: str = INK
    width_mm: float = 0.25
    fill: str = "none"
    pattern: str = ""
    dash_mm: tuple[float, ...] = ()


@dataclass(slots=True)
class Box:
    """What has been drawn on so far."""

    left: float = float("inf")
    top: float = float("inf")
    right: float = float("-inf")
    bottom: float = float("-inf")

    def take_in(self, x: float, y: float) -> None:
        """Grow so that a point lies inside."""
        self.left, self.right = min(self.left, x), max(self.right, x)
        self.top, self.bottom = min(self.top, y), max(self.bottom, y)

    @property
    def size(self) -> XY:
        """Width and height."""
        return self.right - self.left, self.bottom - self.top


class Canvas:
    """Collects shapes and grows with them. `scale` is millimetres of the page for one of the case.

    `name` goes before the ids of the patterns, so that several drawings can stand in one page.
    """

    def __init__(self, name: str, scale: float, title: str) -> None:
        self.name, self.scale = name, scale
        self.box = Box()
        self._patterns: dict[str, None] = {}
        self._body = ET.Element("g", {"stroke-linejoin": "round", "stroke-linecap": "butt"})
        self._title = title

    def page(self, millimetres: float) -> float:
        """Millimetres of the page in user units."""
        return millimetres / self.scale

    def line(self, points: Sequence[XY], pen: Pen, of: str = "", closed: bool = False) -> None:
        """A polyline, closed where asked."""
        path = "M" + " L".join(f"{_n(x)} {_n(y)}" for x, y in points) + (" Z" if closed else "")
        self._shape("path", {"d": path}, pen, of, points)

    def circle(self, at: XY, radius: float, pen: Pen, of: str = "") -> None:
        """A circle."""
        (x, y), r = at, radius
        corners = [(x - r, y - r), (x + r, y + r)]
        self._shape("circle", {"cx": _n(x), "cy": _n(y), "r": _n(r)}, pen, of, corners)

    def rect(self, at: XY, size: XY, pen: Pen, of: str = "") -> None:
        """A rectangle by its upper left corner."""
        (x, y), (w, h) = at, size
        named = {"x": _n(x), "y": _n(y), "width": _n(w), "height": _n(h)}
        self._shape("rect", named, pen, of, [(x, y), (x + w, y + h)])

    def arrow(self, tail: XY, tip: XY, pen: Pen, of: str = "") -> None:
        """A line with a head at its tip."""
        length = ((tip[0] - tail[0]) ** 2 + (tip[1] - tail[1]) ** 2) ** 0.5
        self.line([tail, tip], pen, of)
        if length == 0:
            return
        ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
        back, half = self.page(1.6), self.page(0.6)
        base = (tip[0] - back * ux, tip[1] - back * uy)
        sides = [(base[0] - half * uy, base[1] + half * ux), (base[0] + half * uy, base[1] - half * ux)]
        self.line([tip, *sides], Pen(pen.stroke, 0.1, pen.stroke), closed=True)

    def text(
        self,
        at: XY,
        words: str,
        *,
        anchor: Literal["start", "middle", "end"] = "start",
        size_mm: float = LETTER_MM,
        bold: bool = False,
        fill: str = INK,
        of: str = "",
    ) -> None:
        """One line of text; `at` is on its baseline."""
        size, shown = self.page(size_mm), legible(words)
        named = {"x": _n(at[0]), "y": _n(at[1]), "font-size": _n(size), "text-anchor": anchor, "fill": fill}
        if bold:
            named["font-weight"] = "bold"
        _add(self._body, "text", named, of).text = shown
        for x in text_span(at[0], width_em(shown, bold=bold) * size, anchor):
            self.box.take_in(x, at[1] - size * 0.8)
            self.box.take_in(x, at[1] + size * 0.25)

    def element(self, margin_mm: float = 2.0) -> ET.Element:
        """The finished `svg` element, as large as what was drawn, in millimetres of the page."""
        margin = self.page(margin_mm)
        width, height = (side + 2 * margin for side in self.box.size)
        root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"{_n(self.box.left - margin)} {_n(self.box.top - margin)} {_n(width)} {_n(height)}",
                "width": f"{_n(width * self.scale)}mm",
                "height": f"{_n(height * self.scale)}mm",
                "role": "img",
                "font-family": FONT,
            },
        )
        ET.SubElement(root, "title").text = legible(self._title)
        if self._patterns:
            defs = ET.SubElement(root, "defs")
            defs.extend(PATTERNS[key](f"{self.name}-{key}", self.page(1.0)) for key in self._patterns)
        root.append(self._body)
        return root

    def _shape(self, tag: str, named: dict[str, str], pen: Pen, of: str, points: Sequence[XY]) -> None:
        named |= {"stroke": pen.stroke, "stroke-width": _n(self.page(pen.width_mm)), "fill": pen.fill}
        if pen.dash_mm:
            named["stroke-dasharray"] = " ".join(_n(self.page(dash)) for dash in pen.dash_mm)
        if pen.pattern:
            self._patterns[pen.pattern] = None
            # The ground goes under the pattern, so that nothing shines through it.
            _add(
                self._body, tag, named | {"stroke": "none", "fill": "#ffffff" if pen.fill == "none" else pen.fill}, ""
            )
            named["fill"] = f"url(#{self.name}-{pen.pattern})"
        _add(self._body, tag, named, of)
        for x, y in points:
            self.box.take_in(x, y)


def text_span(x: float, width: float, anchor: str) -> XY:
    """Where a text of a width begins and ends."""
    start = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    return start, start + width


def _add(parent: ET.Element, tag: str, named: dict[str, str], of: str) -> ET.Element:
    return ET.SubElement(parent, tag, named | ({"data-of": of} if of else {}))


def _n(value: float) -> str:
    """Ten-thousandths of a millimetre are enough, and no exponent ever."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
