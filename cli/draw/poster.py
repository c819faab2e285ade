"""All drawings of a case on one sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple
from xml.etree import ElementTree as ET

from cli.draw.canvas import FONT, INK, Canvas
from cli.draw.legend import legend
from cli.draw.motion import motion
from cli.draw.overhead import overhead
from cli.draw.section import section
from cli.draw.stack import stack
from cli.legible import legible, shortened, width_em
from cli.wording.numbers import Figures
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.sites import Site
from solver.fit.candidate import Candidate

WIDE_MM = 200.0
_GAP_MM = 4.0
_TITLE_MM = 4.2


class Panels(NamedTuple):
    """The drawings of a case in groups, each under a heading."""

    above: list[Canvas]
    motions: list[Canvas]
    stacks: list[Canvas]
    sections: list[Canvas]


def panels(problem: Problem, plan: Assessment | None, figures: Figures, prefix: str = "d") -> Panels:
    """Every drawing; without a plan the bar alone."""
    fitted = {c.site.id: c for c in plan.mix} if plan else {}
    motions = (
        [motion(problem, plan, r, figures, f"{prefix}-{r.demand}") for r in plan.reaches] if plan and plan.mix else []
    )
    return Panels(
        [overhead(problem, plan, figures, f"{prefix}-above"), legend(plan, f"{prefix}-legend")],
        motions,
        [
            stack(problem, site, found, figures, f"{prefix}-heights-{number}")
            for number, (site, found) in enumerate(shown_sites(problem, fitted))
        ],
        [
            section(name, segment, figures, f"{prefix}-section-{number}")
            for number, (name, segment) in enumerate(problem.case.segments.items())
        ],
    )


def shown_sites(problem: Problem, fitted: dict[str, Candidate]) -> list[tuple[Site, Candidate | None]]:
    """Sites whose heights are worth a drawing: all of the bar, and supports that carry something."""
    sites = [found.site for found in problem.fit.sites]
    return [(site, fitted.get(site.id)) for site in sites if site.kind != "support" or site.id in fitted]


def poster(problem: Problem, plan: Assessment | None, figures: Figures, title: str) -> str:
    """One SVG with all drawings under their headings."""
    found = panels(problem, plan, figures)
    groups = (
        (title, found.above),
        ("How the base moves (crossed square: a part that stops it)", found.motions),
        ("Heights, mm", found.stacks),
        ("Sections of the bar, mm", found.sections),
    )
    body = ET.Element("g")
    y, wide = _GAP_MM, WIDE_MM
    for heading, drawings in groups:
        if drawings:
            y = _heading(body, heading, y)
            y, right = _flow(body, drawings, y)
            wide = max(wide, right)
    size = {"width": f"{wide:g}mm", "height": f"{y:g}mm", "viewBox": f"0 0 {wide:g} {y:g}"}
    root = ET.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "font-family": FONT, "role": "img", **size})
    ET.SubElement(root, "title").text = legible(title)
    ET.SubElement(root, "rect", {"width": f"{wide:g}", "height": f"{y:g}", "fill": "#ffffff"})
    root.append(body)
    return text_of(root)


def text_of(root: ET.Element) -> str:
    """An element as text."""
    return ET.tostring(root, encoding="unicode")


def _heading(body: ET.Element, words: str, y: float) -> float:
    most = int(WIDE_MM / _TITLE_MM / width_em("n")) - 2
    named = {"x": f"{_GAP_MM:g}", "y": f"{y + _TITLE_MM:g}", "font-size": f"{_TITLE_MM:g}", "font-weight": "bold"}
    ET.SubElement(body, "text", named | {"fill": INK}).text = shortened(legible(words), most)
    return y + _TITLE_MM + _GAP_MM


def _flow(body: ET.Element, drawings: Sequence[Canvas], y: float) -> tuple[float, float]:
    """Drawings side by side in rows; the height after them and the rightmost edge."""
    right = 0.0
    for row in _rows(drawings):
        x, tallest = _GAP_MM, 0.0
        for panel, wide, high in row:
            panel.attrib.update({"x": f"{x:.2f}", "y": f"{y:.2f}", "width": f"{wide:.3f}", "height": f"{high:.3f}"})
            body.append(panel)
            x, tallest = x + wide + _GAP_MM, max(tallest, high)
        y, right = y + tallest + _GAP_MM, max(right, x)
    return y, right


def _rows(drawings: Iterable[Canvas]) -> list[list[tuple[ET.Element, float, float]]]:
    rows: list[list[tuple[ET.Element, float, float]]] = [[]]
    x = _GAP_MM
    for drawing in drawings:
        panel = drawing.element()
        wide, high = (float(panel.attrib[side].removesuffix("mm")) for side in ("width", "height"))
        if rows[-1] and x + wide + _GAP_MM > WIDE_MM:
            rows.append([])
            x = _GAP_MM
        rows[-1].append((panel, wide, high))
        x += wide + _GAP_MM
    return rows
