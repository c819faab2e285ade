"""Put straight stretches in order along the bar: which ends meet, which are free."""

from __future__ import annotations

from itertools import combinations
from typing import NamedTuple

import numpy as np

from solver.scan.bar.axes import closest, meeting_error
from solver.scan.bar.centreline import Line, Refined

REACH_MM = 6.0  # from where a stretch was last seen to where it meets the next (a support hides it)
ON_POST = -1  # the joint of an end that stands on a post and meets no other stretch
SKEW_MM = 1.2  # between two axes that meet


class Stop(NamedTuple):
    """Where a stretch ends along its axis; `joint` numbers the meeting with another stretch (None: free; ON_POST)."""

    station: float
    error_mm: float
    joint: int | None


class Span(NamedTuple):
    """A stretch from stop to stop, its axis pointing from the first to the second."""

    axis: Refined
    start: Stop
    end: Stop


class Meeting(NamedTuple):
    """Two ends of stretches that may meet, and how far their axes reach beyond what was seen."""

    cost: float
    one: int
    one_high: bool
    other: int
    other_high: bool
    one_station: float
    other_station: float


def chain(axes: list[Refined]) -> list[Span]:
    """The stretches in order along the bar, from its right end (least x) where it has two ends."""
    stops: dict[tuple[int, bool], Stop] = {}
    for number, meeting in enumerate(_matched(_meetings(axes))):
        one, other = axes[meeting.one], axes[meeting.other]
        stops[meeting.one, meeting.one_high] = Stop(
            meeting.one_station, meeting_error(one, other, meeting.one_station), number
        )
        stops[meeting.other, meeting.other_high] = Stop(
            meeting.other_station, meeting_error(other, one, meeting.other_station), number
        )
    spans = [_span(axis, stops.get((k, False)), stops.get((k, True))) for k, axis in enumerate(axes)]
    return _ordered(spans)


def _span(axis: Refined, low: Stop | None, high: Stop | None) -> Span:
    line = axis.line
    return Span(axis, low or Stop(line.low, float("inf"), None), high or Stop(line.high, float("inf"), None))


def _meetings(axes: list[Refined]) -> list[Meeting]:
    found = []
    for one, other in combinations(range(len(axes)), 2):
        on_one, on_other, apart = closest(axes[one], axes[other])
        if apart > SKEW_MM:
            continue
        ends = []
        for axis, station in ((axes[one].line, on_one), (axes[other].line, on_other)):
            middle = (axis.low + axis.high) / 2
            past = max(axis.low - station, station - axis.high, 0.0)
            short = min(abs(station - axis.low), abs(station - axis.high))
            ends.append((station > middle, past, short))
        if max(end[2] for end in ends) <= REACH_MM:
            cost = ends[0][2] + ends[1][2]
            found.append(Meeting(cost, one, ends[0][0], other, ends[1][0], on_one, on_other))
    return sorted(found)


def _matched(meetings: list[Meeting]) -> list[Meeting]:
    """The nearest meetings first; each end meets once."""
    taken: set[tuple[int, bool]] = set()
    kept = []
    for meeting in meetings:
        ends = {(meeting.one, meeting.one_high), (meeting.other, meeting.other_high)}
        if not ends & taken:
            taken |= ends
            kept.append(meeting)
    return kept


def reverse(span: Span) -> Span:
    """The same stretch walked the other way."""
    line = span.axis.line
    turned = Line(line.origin, -line.a, -line.high, -line.low, line.size_mm)
    start, end = (stop._replace(station=-stop.station) for stop in (span.end, span.start))
    return Span(span.axis._replace(line=turned), start, end)


def _ordered(spans: list[Span]) -> list[Span]:
    left, ordered = list(range(len(spans))), []
    while left:
        free = [(k, turned) for k in left for turned in (False, True) if _first(spans[k], turned).joint is None]
        choices = free or [(k, turned) for k in left for turned in (False, True)]
        k, turned = min(choices, key=lambda choice: float(_place(spans[choice[0]], choice[1])))
        while True:
            left.remove(k)
            span = reverse(spans[k]) if turned else spans[k]
            ordered.append(span)
            following = [
                (j, way) for j in left for way in (False, True) if _first(spans[j], way).joint == span.end.joint
            ]
            if span.end.joint is None or not following:
                break
            k, turned = following[0]
    return ordered


def _first(span: Span, turned: bool) -> Stop:
    return span.end if turned else span.start


def _place(span: Span, turned: bool) -> float:
    """x of the end that a walk would start from."""
    return float(np.asarray(span.axis.line.at(_first(span, turned).station))[0])
