"""Ends of the bar: free ones, cantilevers beyond the last post, and the balls they carry."""

from __future__ import annotations

from dataclasses import dataclass

from solver.scan.bar.ball import Ball, find_ball
from solver.scan.bar.chain import ON_POST, Span, Stop
from solver.scan.bar.stops import further_end
from solver.scan.section.figure import Figure, Measured, Reason, Unknown, root_sum
from solver.scan.surface.mesh import Array, Mesh


@dataclass(frozen=True, slots=True)
class End:
    """An end of the bar, with its ball or the reason why none is known.

    `cantilever_mm` runs from the axis of the last support (or meeting with another segment) to the end.
    """

    at_mm: tuple[float, float, float]
    segment: int
    cantilever_mm: Measured
    ball: Ball | Unknown


def find_ends(mesh: Mesh, spans: list[Span], out: Array) -> list[End]:
    """Every end that is free, goes on beyond its post, or stands on a post and carries a ball."""
    found = [
        _end(mesh, number, span, stop, sign, out)
        for number, span in enumerate(spans)
        for stop, sign in ((span.start, -1.0), (span.end, 1.0))
        if stop.joint in (None, ON_POST)
    ]
    return [end for end in found if end is not None]


def _end(mesh: Mesh, number: int, span: Span, stop: Stop, sign: float, out: Array) -> End | None:
    beyond = further_end(mesh, span, stop, sign)
    tip = beyond or stop
    place = span.axis.line.at(tip.station)
    ball = find_ball(mesh, place, out)
    if stop.joint == ON_POST and beyond is None and isinstance(ball, Unknown):
        return None
    held = stop if stop.joint == ON_POST else (span.start if sign > 0 else span.end)
    at = (float(place[0]), float(place[1]), float(place[2]))
    return End(at, number, _reach(held, tip), ball)


def _reach(held: Stop, tip: Stop) -> Measured:
    """Length from where the bar is held to its tip; a stretch free at both ends is held nowhere."""
    if held.joint is None or held is tip:
        return Unknown(Reason.NOT_APPLICABLE)
    return Figure(abs(tip.station - held.station), root_sum(tip.error_mm, held.error_mm))
