"""How the base sinks under each bite: its outline before and after, seen a little from the front."""

from __future__ import annotations

import numpy as np

from cli.draw import marks
from cli.draw.canvas import INK, Canvas, Pen
from cli.draw.view import View, base_band, parts_at
from cli.legible import shortened
from cli.wording import words
from cli.wording.numbers import Figures
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.layout import Vector
from solver.mechanics.movement import ASKED, Reach, Stop
from solver.mechanics.placement import Array

SCALE = 1.1
_SHOWN_MM = 6.0
_STEPS = (1, 2, 5, 10, 20, 50, 100)
_REACHED = 1 - 1e-6


def exaggeration(settling_mm: float) -> int:
    """How much motions are drawn larger than they are: the settling comes out near 6 mm, in round steps."""
    return min(_STEPS, key=lambda step: abs(step * settling_mm - _SHOWN_MM))


def rise_mm(twist: Array, point: Vector) -> float:
    """Upward part of the motion of a point under a twist (w, t): t + w x p along z."""
    return float((twist[3:] + np.cross(twist[:3], point))[2])


def motion(problem: Problem, plan: Assessment, reach: Reach, figures: Figures, name: str) -> Canvas:
    """The base before (broken) and after (shaded) as far as the demand can be met; only heights are exaggerated."""
    canvas = Canvas(name, SCALE, f"Motion of the base: {words.demand(reach.demand)}")
    layout, view, times = problem.layout, View.of(problem.layout), exaggeration(problem.settling_mm)
    band = base_band(layout.base)

    def after(point: Vector) -> tuple[float, float]:
        return view.oblique(point, times * rise_mm(reach.twist, point))

    canvas.line([after(p) for p in band], Pen(INK, 0.3, "#dcdcdc"), "after", closed=True)
    canvas.line([view.oblique(p) for p in band], Pen(marks.FAINT, 0.25, dash_mm=(1.0, 0.7)), "before", closed=True)
    stopped = {stop.site for stop in reach.stops} if reach.reach < _REACHED else set()
    for candidate in plan.mix:
        for at in parts_at(candidate, problem.catalogue.defaults.play):
            _part(canvas, view.oblique(at), candidate.site.id in stopped)
    for point in ASKED[reach.demand]:
        _arrow(canvas, view, getattr(layout.base, point), reach, problem.settling_mm, times, figures)
    _caption(canvas, reach, times, figures)
    return canvas


def _part(canvas: Canvas, at: tuple[float, float], stops: bool) -> None:
    """A part: a small ring, or a crossed square where it stops the motion."""
    if not stops:
        canvas.circle(at, canvas.page(1.0), Pen(marks.ACCENT, 0.35, "#ffffff"))
        return
    half = canvas.page(1.3)
    canvas.rect((at[0] - half, at[1] - half), (2 * half, 2 * half), Pen(marks.ALARM, 0.4, "#ffffff"), "stop")
    for sign in (1, -1):
        canvas.line([(at[0] - half, at[1] - sign * half), (at[0] + half, at[1] + sign * half)], Pen(marks.ALARM, 0.3))


def _arrow(
    canvas: Canvas, view: View, point: Vector, reach: Reach, settling_mm: float, times: int, figures: Figures
) -> None:
    """From the point before to the point after, with how far it sinks of what is asked."""
    rise = rise_mm(reach.twist, point)
    start, stop = view.oblique(point), view.oblique(point, times * rise)
    canvas.arrow(start, stop, Pen(INK, 0.35), "sinks")
    sinks = f"{figures.number(abs(rise), 2)} of {figures.number(settling_mm, 2)} mm"
    # Away from the band: above the ends that lie high on the page, below those that lie low.
    low = start[1] > (canvas.box.top + canvas.box.bottom) / 2
    y = max(start[1], stop[1]) + canvas.page(3.6) if low else min(start[1], stop[1]) - canvas.page(1.6)
    canvas.text((start[0], y), sinks, anchor="middle")


def _caption(canvas: Canvas, reach: Reach, times: int, figures: Figures) -> None:
    box, line = canvas.box, canvas.page(4.0)
    x, y = (box.left + box.right) / 2, box.bottom + canvas.page(5.0)
    canvas.text((x, y), words.demand(reach.demand), anchor="middle", bold=True)
    told = [f"reach {figures.number(reach.reach, 2)}; heights drawn {times} times too large"]
    if reach.reach < _REACHED:
        told += [f"stopped by {shortened(words.stop(stop), 44)}" for stop in _once(reach)]
    for number, text in enumerate(told, 1):
        canvas.text((x, y + number * line), text, anchor="middle", size_mm=2.3)


def _once(reach: Reach) -> list[Stop]:
    return list({words.stop(stop): stop for stop in reach.stops}.values())[:2]
