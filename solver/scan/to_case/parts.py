"""What of the bar in a scan is a support, a segment between two of them, or a free end on one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from solver.scan.bar.ball import Ball
from solver.scan.bar.ends import End
from solver.scan.bar.segment import Segment
from solver.scan.bar.support import Support
from solver.scan.errors import NothingCarries
from solver.scan.measure import BarScan
from solver.scan.section.figure import Figure
from solver.scan.surface.mesh import Array
from solver.scan.to_case.points import Hints

JOIN_MM = 1.5  # between the end of a stretch and the support it stands on
HINT_MM = 3.0  # between a point given by hand and what it means
LEAST_END_MM = (
    3.0  # a bar that goes on less than this beyond a post, without a ball, takes nothing (choice, no source)
)


class Place(NamedTuple):
    """Where the bar is carried, in the axes of the scan; `support` is None where a person says so."""

    at: Array
    support: Support | None


class Between(NamedTuple):
    """A segment, its number in the scan, and the numbers of its two supports."""

    segment: Segment
    number: int
    supports: tuple[int, int]


class Free(NamedTuple):
    """A free end, the number of the support that carries it, and its own stretch of bar where it has one."""

    end: End
    on: int
    segment: Segment | None

    @property
    def at(self) -> Array:
        """Centre of the ball, or the tip of the bar."""
        return np.array(self.end.ball.centre_mm if isinstance(self.end.ball, Ball) else self.end.at_mm)


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """The bar taken apart; `loose` stretches stand on nothing that is seen."""

    places: tuple[Place, ...]
    between: tuple[Between, ...]
    free: tuple[Free, ...]
    loose: int


def parts_of(scan: BarScan, hints: Hints) -> Parts:
    """Take the bar apart; raises `NothingCarries` where no support is seen or named."""
    places = [Place(np.array(support.at_mm), support) for support in scan.supports]
    places += _named(scan, hints, places)
    if not places:
        raise NothingCarries(len(scan.segments))
    held = [tuple(_near(places, np.array(tip), JOIN_MM) for tip in (s.start_mm, s.end_mm)) for s in scan.segments]
    between = [
        Between(segment, number, (one, two))
        for number, (segment, (one, two)) in enumerate(zip(scan.segments, held, strict=True))
        if one is not None and two is not None and one != two
    ]
    free = [found for end in scan.ends if (found := _free(scan, end, places, held[end.segment]))]
    loose = sum(one is None and two is None for one, two in held)
    return Parts(tuple(places), tuple(between), tuple(free), loose)


def _named(scan: BarScan, hints: Hints, places: list[Place]) -> list[Place]:
    """Supports that a person names where the bar ends and no post is seen."""
    tips = [np.array(tip) for segment in scan.segments for tip in (segment.start_mm, segment.end_mm)]
    found: list[Place] = []
    for at in hints.supports.values():
        if _near([*places, *found], at, HINT_MM) is None and tips:
            tip = min(tips, key=lambda one: float(np.linalg.norm(one - at)))
            if np.linalg.norm(tip - at) < HINT_MM:
                found.append(Place(tip, None))
    return found


def _near(places: list[Place], at: Array, within_mm: float) -> int | None:
    apart = [float(np.linalg.norm(place.at - at)) for place in places]
    best = int(np.argmin(apart)) if apart else 0
    return best if apart and apart[best] < within_mm else None


def _free(scan: BarScan, end: End, places: list[Place], held: tuple[int | None, ...]) -> Free | None:
    """The end as one of the case; None where it is held after all, carried by nothing, or too short."""
    ball = isinstance(end.ball, Ball)
    carried = [number for number in held if number is not None]
    if not carried or (not ball and _near(places, np.array(end.at_mm), JOIN_MM) is not None):
        return None
    on = min(carried, key=lambda number: float(np.linalg.norm(places[number].at - end.at_mm)))
    if not ball and isinstance(end.cantilever_mm, Figure) and end.cantilever_mm.value < LEAST_END_MM:
        return None
    return Free(end, on, scan.segments[end.segment] if len(carried) == 1 else None)
