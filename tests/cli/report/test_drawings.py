"""Drawings are true: what is drawn lies where the case has it, to 0.01 mm, and is as large."""

from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from cli.draw.canvas import Canvas
from cli.draw.motion import exaggeration, motion
from cli.draw.overhead import overhead
from cli.draw.section import outline, section
from cli.draw.stack import stack
from cli.draw.tipping import weakest
from cli.legible import width_em
from cli.wording.numbers import Figures
from solver.case.rule_set import FLOORS
from solver.handbook.point import Point
from solver.mechanics.movement import ASKED
from solver.mechanics.placement import placements_of
from tests.cli.report.cases import BINDS, EXAMPLES, HOSTILE, PRINTED_MM, WORN_BALL, Shapes, corners, middle, worked

ENGLISH = Figures.of("en")
CASES = {"lower": WORN_BALL, "upper": BINDS} | EXAMPLES
each_case = pytest.mark.parametrize("path", CASES.values(), ids=CASES)


@each_case
def test_supports_ends_and_points_of_the_base_stand_where_the_case_has_them(path: Path) -> None:
    problem, found = worked(path)
    layout, side = problem.layout, float(problem.layout.out[2])
    shapes = Shapes(overhead(problem, found, ENGLISH))

    for name, at in (*layout.supports.items(), *layout.ends.items()):
        assert (at[0], side * at[1]) == pytest.approx(middle(shapes.one(name)), abs=PRINTED_MM)
    for name in ("left", "right", "front"):
        at = getattr(layout.base, name)
        assert (at[0], side * at[1]) == pytest.approx(corners(shapes.one(f"demand-{name}"))[0], abs=PRINTED_MM)


@each_case
def test_bar_and_supports_are_as_large_as_measured(path: Path) -> None:
    problem, found = worked(path)
    shapes = Shapes(overhead(problem, found, ENGLISH))

    for name, segment in problem.case.segments.items():
        one, two, three, _ = corners(shapes.one(name))
        assert segment.width_mm.value == pytest.approx(math.dist(two, three), abs=PRINTED_MM)
        start, stop = problem.layout.line(segment)
        assert math.dist(start[:2], stop[:2]) == pytest.approx(math.dist(one, two), abs=PRINTED_MM)
    for name, support in problem.case.supports.items():
        radius = float(shapes.one(name).attrib["r"])
        assert (support.diameter_mm or problem.catalogue.defaults.support_diameter_mm.value) == pytest.approx(
            2 * radius
        )
        assert (support.diameter_mm is None) == ("stroke-dasharray" in shapes.one(name).attrib)


@each_case
def test_every_part_is_drawn_in_its_place(path: Path) -> None:
    problem, found = worked(path)
    shapes, side = Shapes(overhead(problem, found, ENGLISH)), float(problem.layout.out[2])

    for candidate in found.mix:
        for number, part in enumerate(placements_of(candidate, problem.catalogue.defaults.play), 1):
            drawn = shapes.one(f"{candidate.site.id}-part-{number}")
            assert (part.at[0], side * part.at[1]) == pytest.approx(middle(drawn), abs=PRINTED_MM)
            if candidate.attachment.kind == "clip":
                one, two, *_ = corners(drawn)
                assert candidate.attachment.length_mm == pytest.approx(math.dist(one, two), abs=PRINTED_MM)


@each_case
def test_scale_bar_is_ten_millimetres(path: Path) -> None:
    problem, found = worked(path)
    shapes = Shapes(overhead(problem, found, ENGLISH))
    black, white = shapes.one("scale-0"), shapes.one("scale-5")

    assert 5 == float(black.attrib["width"]) == float(white.attrib["width"])
    assert 5 == pytest.approx(float(white.attrib["x"]) - float(black.attrib["x"]))
    # On paper two millimetres stand for one: user units against the size in the page.
    width = float(shapes.root.attrib["viewBox"].split()[2])
    assert 2 * width == pytest.approx(float(shapes.root.attrib["width"].removesuffix("mm")), abs=PRINTED_MM)


def test_nothing_lifts_on_the_tipping_line() -> None:
    problem, found = worked(WORN_BALL)
    pull = weakest(found)
    assert pull is not None
    drawn = corners(Shapes(overhead(problem, found, ENGLISH)).one("tipping-line"))

    assert min(each.hold_n for each in found.pulls if each.name in FLOORS) == pull.hold_n
    assert [0, 0] == pytest.approx([pull.pull.lift.at(Point(*end)) for end in drawn], abs=1e-3)


@pytest.mark.parametrize("path", [*CASES.values(), HOSTILE], ids=[*CASES, "long names"])
def test_no_label_lies_on_another(path: Path) -> None:
    canvas = overhead(*worked(path), ENGLISH)
    boxes = text_boxes(canvas)

    assert [] == [(a[0], b[0]) for a, b in combinations(boxes, 2) if overlap(a[1], b[1])]


@pytest.mark.parametrize("path", [*CASES.values(), HOSTILE], ids=[*CASES, "long names"])
def test_every_text_lies_within_its_drawing(path: Path) -> None:
    canvas = overhead(*worked(path), ENGLISH)
    left, top, width, height = (float(n) for n in canvas.element().attrib["viewBox"].split())

    for _, (x0, y0, x1, y1) in text_boxes(canvas):
        assert left <= x0 < x1 <= left + width
        assert top <= y0 < y1 <= top + height


def text_boxes(canvas: Canvas) -> list[tuple[str, tuple[float, float, float, float]]]:
    found = []
    for text in Shapes(canvas).texts:
        size, x, y = (float(text.attrib[key]) for key in ("font-size", "x", "y"))
        wide = width_em(text.text or "", bold="font-weight" in text.attrib) * size
        start = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.attrib["text-anchor"]]
        found.append((text.text or "", (start, y - 0.75 * size, start + wide, y + 0.2 * size)))
    return found


def overlap(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@each_case
def test_motion_shows_how_far_each_point_sinks(path: Path) -> None:
    """Tails stand at the points of the base; tips are the heights of t + w x p times the exaggeration away."""
    problem, found = worked(path)
    base, times, side = problem.layout.base, exaggeration(problem.settling_mm), float(problem.layout.out[2])
    for reach in found.reaches:
        arrows = Shapes(motion(problem, found, reach, ENGLISH, "m")).of("sinks")
        for point, arrow in zip(ASKED[reach.demand], arrows, strict=True):
            at = getattr(base, point)
            sinks = -float((reach.twist[3:] + np.cross(reach.twist[:3], at)) @ problem.layout.out)
            tail, tip = corners(arrow)

            assert (at[0], 0.45 * side * at[1] - at[2]) == pytest.approx(tail, abs=PRINTED_MM)
            assert side * times * sinks == pytest.approx(tip[1] - tail[1], abs=PRINTED_MM)
            assert sinks >= reach.reach * problem.settling_mm - 1e-6


def test_parts_that_stop_a_motion_are_crossed_out() -> None:
    problem, found = worked(BINDS)
    counts = {candidate.site.id: candidate.count for candidate in found.mix}
    for reach in found.reaches:
        stops = {stop.site for stop in reach.stops} if reach.reach < 1 - 1e-6 else set()
        squares = Shapes(motion(problem, found, reach, ENGLISH, "m")).of("stop")

        assert sum(counts[site] for site in stops) == len(squares)


def test_stack_has_its_heights_and_hatches_what_is_short() -> None:
    """End L, starter catalogue: female, housing, spacer, acrylic and tooth make 7.5 mm in a room of 6.5 mm."""
    problem, found = worked(BINDS)
    candidate = next(c for c in found.mix if c.site.id == "L")
    shapes = Shapes(stack(problem, candidate.site, candidate, ENGLISH, "s"))
    heights = {
        name: float(shapes.one(name).attrib["height"]) for name in ("female", "housing", "spacer", "acrylic", "tooth")
    }

    assert {"female": 1.6, "housing": 1.0, "spacer": 0.4, "acrylic": 2.0, "tooth": 2.5} == heights
    assert 1.0 == pytest.approx(float(shapes.one("short").attrib["height"]))
    assert -11.5 == pytest.approx(float(shapes.one("short").attrib["y"]) + 1.0)
    assert [-11.5, -11.5] == [y for _, y in corners(shapes.one("ceiling"))]
    assert [-11.2, -11.8] == [corners(line)[0][1] for line in shapes.of("ceiling-error")]


@pytest.mark.parametrize("name", ["A", "B", "C"])
def test_section_is_as_wide_and_as_high_as_measured(name: str) -> None:
    problem, _ = worked(BINDS)
    segment = problem.case.segments[name]
    points = corners(Shapes(section(name, segment, ENGLISH, "x")).one("section"))

    assert segment.width_mm.value == pytest.approx(
        max(x for x, _ in points) - min(x for x, _ in points), abs=PRINTED_MM
    )
    assert segment.height_mm.value == pytest.approx(
        max(y for _, y in points) - min(y for _, y in points), abs=PRINTED_MM
    )


FORMS = ("round", "ovoid", "parallel", "keyhole", "unknown")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("undercut", [0.0, 0.3, None])
def test_sides_run_in_by_the_undercut(form: str, undercut: float | None) -> None:
    points = outline(form, 2.0, 3.0, undercut)  # type: ignore[arg-type]  # ids of the parameter are plain words
    foot = max(x for x, y in points if abs(y) < 1e-9)

    if undercut is not None:
        assert 1.0 - undercut == pytest.approx(foot)
    assert {(round(x, 9), round(y, 9)) for x, y in points} == {(round(-x, 9) + 0.0, round(y, 9)) for x, y in points}


@pytest.mark.parametrize(("settling_mm", "times"), [(0.3, 20), (0.4, 10), (0.6, 10), (0.05, 100), (5.0, 1)], ids=str)
def test_exaggeration_goes_in_round_steps(settling_mm: float, times: int) -> None:
    assert times == exaggeration(settling_mm)
