"""Is there one direction along which every fitted attachment can be seated and drawn off?

Each support or end that leans by its tilt has an axis, and its attachment goes over it within a tolerance: the
largest tilt that the catalogue allows it. A direction serves where its angle to every axis is within the tolerance
there. The best one leaves most to spare, so the caps of allowed directions are shrunk alike until they just still
meet; caps on a sphere meet where a centre, or a point in which two of their edges cross, lies in all of them.

A tilt whose direction is not known counts at its worst: the axis may lean any way, so what is left of the tolerance
is a cap about the path of removal, smaller by the tilt. Clips on a bar set no limit of their own here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from solver.case.layout import Vector
from solver.case.measure import Measure
from solver.case.schema import Case, End, Support
from solver.fit.candidate import Candidate

SLACK_RAD = 1e-9
_STEPS = 60
"""Halvings of the margin; half a turn ends far below any angle that can be measured."""


@dataclass(frozen=True, slots=True, eq=False)
class Cap:
    """Directions within `within_rad` of `axis` (unit vector); below zero there is none."""

    site: str
    axis: Vector
    within_rad: float


@dataclass(frozen=True, slots=True)
class Insertion:
    """The best common direction, and how many degrees it leaves to spare (below zero: by how much it fails).

    `lean_deg` is its angle to the path of removal and `towards_deg` where it leans to (0 forwards, 90 to the
    patient's left). `straight_deg` is what the path of removal itself leaves. `against` are the fewest sites that
    share no direction. `any_way` are sites whose tilt has no direction and counts at its worst, `unknown` those
    without a tilt.
    """

    spare_deg: float
    straight_deg: float
    lean_deg: float
    towards_deg: float
    against: tuple[str, ...]
    any_way: tuple[str, ...]
    unknown: tuple[str, ...]


def insertion(case: Case, out: Vector, mix: Sequence[Candidate]) -> Insertion | None:
    """The common path of insertion of a mix; None where nothing that is fitted asks for one."""
    limited = [(c, limit) for c in mix if (limit := tolerance_deg(c)) is not None]
    places = [(c.site.id, _place(case, c.site.id), limit) for c, limit in limited]
    leaning = [(site, place, limit) for site, place, limit in places if place is not None and place.tilt_deg.known]
    caps = [_cap(site, place, limit, out) for site, place, limit in leaning]
    unknown = tuple(site for site, place, _ in places if place is not None and not place.tilt_deg.known)
    if not caps:
        return None
    best = common_direction(caps)
    spare, direction = best
    any_way = tuple(site for site, place, _ in leaning if place.tilt_towards is None and place.tilt_deg.high > 0)
    return Insertion(
        spare_deg=math.degrees(spare),
        straight_deg=math.degrees(spare_of(caps, out)),
        lean_deg=math.degrees(angle_rad(direction, out)),
        towards_deg=math.degrees(math.atan2(direction[0], direction[1])) % 360.0,
        against=_against(caps) if spare < -SLACK_RAD else (),
        any_way=any_way,
        unknown=unknown,
    )


def tolerance_deg(candidate: Candidate) -> float | None:
    """The largest tilt that the catalogue allows the attachment; None where it sets no limit."""
    limits = [n.at_most for n in candidate.attachment.needs if n.of == "tilt_deg" and n.at_most is not None]
    return min(limits, default=None)


def axis_of(tilt_deg: float, towards_deg: float, out: Vector) -> Vector:
    """Unit vector that leans `tilt_deg` from `out` towards an azimuth: 0 forwards, 90 to the patient's left."""
    tilt, towards = math.radians(tilt_deg), math.radians(towards_deg)
    aside = np.array([math.sin(towards), math.cos(towards), 0.0])
    return math.cos(tilt) * out + math.sin(tilt) * aside


def common_direction(caps: Sequence[Cap]) -> tuple[float, Vector]:
    """The direction that leaves most to spare in the worst cap, and how much, rad (below zero where none serves)."""
    low, high = -math.pi, min(cap.within_rad for cap in caps)
    best = caps[0].axis
    for _ in range(_STEPS):
        spare = (low + high) / 2
        met = _meeting_point(caps, spare)
        low, high = (low, spare) if met is None else (spare, high)
        best = best if met is None else met
    return spare_of(caps, best), best


def spare_of(caps: Sequence[Cap], direction: Vector) -> float:
    """What a direction leaves to spare in the worst cap, rad."""
    return min(cap.within_rad - angle_rad(cap.axis, direction) for cap in caps)


def angle_rad(one: Vector, other: Vector) -> float:
    """Angle between two unit vectors, halved by their sum; exact for small ones too."""
    return 2 * math.atan2(math.dist(one, other), math.dist(one, -other))


def _meeting_point(caps: Sequence[Cap], spare: float) -> Vector | None:
    """A direction within every cap shrunk by `spare`, None where there is none."""
    points = (*(cap.axis for cap in caps), *_crossings(caps, spare))
    return next((point for point in points if spare_of(caps, point) >= spare - SLACK_RAD), None)


def _crossings(caps: Sequence[Cap], spare: float) -> Iterator[Vector]:
    """Points in which the edges of two shrunk caps cross: x = a u + b w +- c u x w with x.u and x.w given."""
    for one, other in combinations(caps, 2):
        u, w, dot = one.axis, other.axis, float(one.axis @ other.axis)
        across = np.cross(u, w)
        square = float(across @ across)
        if square < SLACK_RAD**2:
            continue
        p, q = math.cos(one.within_rad - spare), math.cos(other.within_rad - spare)
        a, b = (p - q * dot) / square, (q - p * dot) / square
        rest = 1.0 - (a * p + b * q)
        if rest >= 0:
            for sign in (1.0, -1.0):
                yield a * u + b * w + sign * math.sqrt(rest / square) * across


def _against(caps: Sequence[Cap]) -> tuple[str, ...]:
    """The fewest sites without a common direction: one, a pair or three (Helly), and of equals the worst."""
    for size in (1, 2, 3):
        spares = [(common_direction(some)[0], [cap.site for cap in some]) for some in combinations(caps, size)]
        worst = min(spares)
        if worst[0] < -SLACK_RAD:
            return tuple(worst[1])
    return tuple(cap.site for cap in caps)


def _place(case: Case, site: str) -> Support | End | None:
    return case.supports.get(site) or case.ends.get(site)


def _cap(site: str, place: Support | End, limit_deg: float, out: Vector) -> Cap:
    tilt: Measure = place.tilt_deg
    if place.tilt_towards is None:
        return Cap(site, out, math.radians(limit_deg - tilt.high))
    return Cap(site, axis_of(tilt.value or 0.0, place.tilt_towards, out), math.radians(limit_deg - tilt.error))
