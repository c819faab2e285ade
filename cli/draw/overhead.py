"""The bar from above: base, supports, segments, ends, what is fitted, and a scale."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

from cli.draw import marks
from cli.draw.canvas import INK, LETTER_MM, XY, Canvas, Pen
from cli.draw.labels import Label, along, place_labels
from cli.draw.legend import SCALE, takes_bar_off
from cli.draw.tipping import tipping, weakest
from cli.draw.view import View, base_band, base_curve, parts_at
from cli.legible import width_em
from cli.wording.numbers import Figures
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.layout import Vector
from solver.case.measure import Measure
from solver.case.schema import End, Segment
from solver.fit.candidate import Candidate

_UNMEASURED_MM = 1.8
_POINTS = {"left": "last tooth, left", "right": "last tooth, right", "front": "front of the teeth"}


def overhead(
    problem: Problem,
    plan: Assessment | None,
    figures: Figures,
    name: str = "above",
    scale: float = SCALE,
    *,
    full: bool = True,
) -> Canvas:
    """The view from above, to scale; everything it names carries its id in `data-of`.

    Not `full`: without the points of the base, the tipping line and the scale, for small drawings side by side.
    """
    canvas = Canvas(name, scale, "The bar seen from where the denture comes")
    drawing = _Overhead(problem, canvas, takes_bar_off(plan))
    drawing.base()
    drawing.bar()
    drawing.fitted(plan.mix if plan else ())
    if full:
        drawing.weakest_pull(plan)
    drawing.names(full=full)
    if full:
        drawing.scale_bar(figures)
    return canvas


class _Overhead:
    def __init__(self, problem: Problem, canvas: Canvas, bar_off: bool) -> None:
        self.problem, self.canvas, self.bar_off = problem, canvas, bar_off
        self.layout, self.case = problem.layout, problem.case
        self.view = View.of(self.layout)
        self.obstacles: list[XY] = []
        self.clear: dict[str, float] = {}

    def base(self) -> None:
        """The base in outline and the points that a bite presses."""
        band = [self.view.seen(point) for point in base_band(self.layout.base)]
        self.canvas.line(band, Pen("#b5b5b5", 0.2, "#f1f1f1"), "base", closed=True)
        half = len(band) // 2
        self.obstacles += (
            *band[::3],
            band[half - 1],
            band[-1],
            *along(band[half - 1], band[half], 0.8),
            *along(band[-1], band[0], 0.8),
        )
        curve = [self.view.seen(point) for point in base_curve(self.layout.base, self.case.arch)]
        self.canvas.line(curve, Pen("#9a9a9a", 0.2, dash_mm=(1.2, 0.8)))
        for point in _POINTS:
            at = self.view.seen(getattr(self.layout.base, point))
            marks.demand_point(self.canvas, at, f"demand-{point}")
            self.obstacles += [at, (at[0], at[1] - self.canvas.page(0.8)), (at[0], at[1] - self.canvas.page(1.6))]

    def bar(self) -> None:
        """Segments and ends at their true width, balls and supports at their true diameter."""
        for name, segment in self.case.segments.items():
            self._stretch(name, self.layout.line(segment), segment.width_mm)
        for name, end in self.case.ends.items():
            self._end(name, end)
        default = self.problem.catalogue.defaults.support_diameter_mm.value
        for name, support in self.case.supports.items():
            at, diameter = self.view.seen(self.layout.supports[name]), support.diameter_mm or default
            marks.support(self.canvas, at, diameter, support.diameter_mm is not None, name)
            self._keep_clear(name, at, diameter / 2)

    def _stretch(self, name: str, line: tuple[Vector, Vector], width: Measure) -> None:
        start, stop = (self.view.seen(point) for point in line)
        ax, ay = self.view.along(line[1] - line[0])
        half = (width.value or _UNMEASURED_MM) / 2
        corners = [
            (x + s * half * -ay, y + s * half * ax) for (x, y), s in ((start, 1), (stop, 1), (stop, -1), (start, -1))
        ]
        self.canvas.line(corners, self._pen(width.known), name, closed=True)
        self.obstacles += along(start, stop, 0.8)

    def _end(self, name: str, end: End) -> None:
        on, ball = self.layout.supports[end.on], self.layout.ends[name]
        self._stretch(f"{name}-arm", (on, ball), end.neck_mm)
        at, radius = self.view.seen(ball), (end.ball_mm.value or _UNMEASURED_MM) / 2
        self.canvas.circle(at, radius, self._pen(end.ball_mm.known), name)
        self._keep_clear(name, at, radius)

    def _pen(self, measured: bool) -> Pen:
        if self.bar_off:
            return marks.BAR_OFF
        return marks.BAR if measured else marks.UNMEASURED

    def fitted(self, mix: Iterable[Candidate]) -> None:
        """The mark of every part in its place."""
        for candidate in mix:
            direction = self.view.along(candidate.site.frame.a)
            for number, at in enumerate(parts_at(candidate, self.problem.catalogue.defaults.play), 1):
                of = f"{candidate.site.id}-part-{number}"
                attachment = candidate.attachment
                marks.mark(self.canvas, attachment.kind, self.view.seen(at), direction, attachment.length_mm, of)
                self._keep_clear(candidate.site.id, self.view.seen(at), marks.HALF_MM)

    def weakest_pull(self, plan: Assessment | None) -> None:
        """The pull that takes least and the line the denture then tips about."""
        pull = weakest(plan)
        if pull is None:
            return
        ends = tipping(self.canvas, self.view, pull)
        self._keep_clear("", self.view.flat(pull.at), self.canvas.page(1.4))
        if ends:
            self.obstacles += along(*ends, 1.0)

    def names(self, *, full: bool) -> None:
        """Site names beside their sites, then what the points are."""
        labels = [*self._site_labels(), *(self._point_labels() if full else ())]
        middle = self.view.seen((self.layout.base.left + self.layout.base.right) / 2)
        place_labels(self.canvas, labels, self.obstacles, middle)

    def _site_labels(self) -> list[Label]:
        layout = self.layout
        at: dict[str, Vector] = {n: self._middle(s) for n, s in self.case.segments.items()}
        at |= layout.ends | layout.supports
        return [
            Label(self.view.seen(at[name]), name, True, self.clear.get(name, 0.9)) for name in self.problem.site_ids
        ]

    def _middle(self, segment: Segment) -> Vector:
        start, stop = self.layout.line(segment)
        return (start + stop) / 2

    def _point_labels(self) -> list[Label]:
        base, ring = self.layout.base, self.canvas.page(1.4)
        return [Label(self.view.seen(getattr(base, point)), told, clear_mm=ring) for point, told in _POINTS.items()]

    def _keep_clear(self, name: str, at: XY, radius: float) -> None:
        self.clear[name] = max(self.clear.get(name, 0.0), radius)
        self.obstacles += [at, *((at[0] + dx * radius, at[1] + dy * radius) for dx, dy in _ROUND)]

    def scale_bar(self, figures: Figures) -> None:
        """Ten millimetres in steps of five, and which side is which."""
        box, canvas = self.canvas.box, self.canvas
        left, right = box.left, box.right
        x, y = (left + right) / 2 - 5.0, box.bottom + canvas.page(5.0)
        for start, fill in ((0.0, INK), (5.0, "#ffffff")):
            canvas.rect((x + start, y), (5.0, canvas.page(1.0)), Pen(INK, 0.2, fill), f"scale-{start:g}")
        for length in (0, 5, 10):
            unit = " mm" if length == 10 else ""
            text = figures.number(length, 0) + unit
            shift = canvas.page(width_em(unit) * LETTER_MM / 2)
            canvas.text((x + length + shift, y - canvas.page(0.9)), text, anchor="middle")
        foot = y + canvas.page(0.9)
        canvas.text((left, foot), "\N{LEFTWARDS ARROW} patient's right", fill=marks.FAINT)
        canvas.text((right, foot), "patient's left \N{RIGHTWARDS ARROW}", anchor="end", fill=marks.FAINT)


_ROUND = tuple(chain(((1, 0), (-1, 0), (0, 1), (0, -1)), ((0.7, 0.7), (-0.7, 0.7), (0.7, -0.7), (-0.7, -0.7))))
