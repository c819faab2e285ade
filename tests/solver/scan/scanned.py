"""Scans written down by hand: what `measure_bar` would say, with figures of no importance left unknown."""

from __future__ import annotations

from collections.abc import Sequence

from solver.scan.bar.ball import Ball
from solver.scan.bar.ends import End
from solver.scan.bar.segment import Segment, Summary
from solver.scan.bar.support import Support
from solver.scan.measure import BarScan
from solver.scan.section.figure import Figure, Measured, Reason, Unknown

Point = tuple[float, float, float]
NOT_SEEN = Unknown(Reason.NOT_COVERED)
NONE = Summary(NOT_SEEN, NOT_SEEN)


def segment(start: Point, end: Point) -> Segment:
    return Segment(
        start, end, (1.0, 0.0, 0.0), NOT_SEEN, NOT_SEEN, None, None, NONE, NONE, NONE, NONE, NONE, NONE, None, ()
    )


def support(at: Point) -> Support:
    return Support(at, (0.0, 0.0, 1.0), Figure(2.0, 0.5), Figure(4.0, 0.01))


def end(at: Point, number: int, cantilever: Measured = NOT_SEEN, ball: Ball | None = None) -> End:
    return End(at, number, cantilever, ball or Unknown(Reason.NOT_IN_SCAN))


def ball(centre: Point) -> Ball:
    return Ball(
        centre, Figure(2.2, 0.01), Figure(0.01, 0.005), Figure(0.2, 0.05), Figure(1.4, 0.02), None, 0.1, NOT_SEEN
    )


def bar(segments: Sequence[Segment], supports: Sequence[Support], ends: Sequence[End] = ()) -> BarScan:
    return BarScan(tuple(segments), (), tuple(supports), tuple(ends), (0.0, 0.0, 1.0), True, None)
