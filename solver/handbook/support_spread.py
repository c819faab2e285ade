"""Spread of the supports from front to back, room between them, and rules of thumb for cantilevers.

The rules are printed as notes and never forbid anything: none was validated prospectively.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from solver.handbook.checks import OutOfDomain, check_not_negative, check_positive
from solver.handbook.point import Point
from solver.handbook.sourced import Interval, Known, Place, Sourced

CLIP_SUPPORT_MM = 2.0
"""Bar taken up by the joint with its support at either end of a clip (teaching page, second-hand)."""


class TooFewSupports(ValueError):
    """A measure that needs more supports than the case has."""

    def __init__(self, have: int, want: int) -> None:
        self.have, self.want = have, want
        super().__init__(have, want)

    def __str__(self) -> str:
        return f"{self.have} supports given, {self.want} needed"


class Jaw(StrEnum):
    """Which jaw a rule speaks of."""

    UPPER = "upper"
    LOWER = "lower"
    EITHER = "either"


@dataclass(frozen=True, slots=True)
class CantileverRule:
    """A limit for a distal cantilever: a length, or a multiple of the antero-posterior spread."""

    code: str
    jaw: Jaw
    limit: Sourced
    of_spread: bool

    def limit_mm(self, spread_mm: float) -> Interval:
        """Lengths at which caution starts and at which the rule says no."""
        factor = spread_mm if self.of_spread else 1.0
        return Interval(self.limit.interval.low * factor, self.limit.interval.high * factor)


@dataclass(frozen=True, slots=True)
class CantileverNote:
    """What one rule says of one cantilever; a remark, not a verdict."""

    rule: CantileverRule
    limit_mm: Interval
    place: Place


_NOT_VALIDATED = (
    "rule of thumb, written for fixed full-arch work; never validated prospectively and the relation is not "
    "linear (Walter and Greenstein, J Am Dent Assoc 2020;151:790-795)"
)

CANTILEVER_RULES = (
    CantileverRule(
        "spread-multiple",
        Jaw.EITHER,
        Sourced(
            Interval(1.5, 2.5), "x spread", Known.SECOND_HAND, "teaching pages after English 1990", _NOT_VALIDATED
        ),
        of_spread=True,
    ),
    CantileverRule(
        "bar-four-implants",
        Jaw.EITHER,
        Sourced(
            Interval(8.0, 12.0),
            "mm",
            Known.PUBLISHED,
            "Shafie and Obeid, Selected Readings in Oral and Maxillofacial Surgery vol. 19 no. 6, p. 21",
            "distal end of a bar on four implants; none where they stand in a straight line",
        ),
        of_spread=False,
    ),
    CantileverRule(
        "fixed-lower",
        Jaw.LOWER,
        Sourced(Interval(15.0, 20.0), "mm", Known.MEMORY, "Rangert et al. 1989", "fixed work, not overdentures"),
        of_spread=False,
    ),
    CantileverRule(
        "fixed-upper",
        Jaw.UPPER,
        Sourced(
            Interval(6.0, 10.0),
            "mm",
            Known.MEMORY,
            "after English",
            "recalled with doubt; the low end for soft bone",
        ),
        of_spread=False,
    ),
)


def anteroposterior_spread_mm(supports: Sequence[Point], diameter_mm: float) -> float:
    """Distance from the centre of the foremost support(s) to the distal face of the two hindmost.

    An even number counts from the middle of the two foremost, an odd one from the single foremost. The
    reference is mixed, centre in front and face behind, hence the half diameter (teaching pages,
    second-hand). Measured square to the line through the two hindmost.

    Raises:
        TooFewSupports: below three; two supports have no spread.
        OutOfDomain: for a diameter not above zero.
    """
    check_positive(diameter_mm=diameter_mm)
    if len(supports) < 3:
        raise TooFewSupports(len(supports), 3)
    back_to_front = sorted(supports, key=lambda point: point.y_mm)
    front = back_to_front[-1:] if len(supports) % 2 else back_to_front[-2:]
    centre = Point(sum(p.x_mm for p in front) / len(front), sum(p.y_mm for p in front) / len(front))
    return lever_arm_mm(centre, back_to_front[0], back_to_front[1]) + diameter_mm / 2.0


def lever_arm_mm(point: Point, start: Point, end: Point) -> float:
    """Distance of a point from the line through two others, which a denture would tip about.

    Raises:
        OutOfDomain: where the two points coincide.
    """
    length = math.dist(start, end)
    if length <= 0.0:
        raise OutOfDomain("distance of the two points", length, "must be above zero")
    along_x, along_y = end.x_mm - start.x_mm, end.y_mm - start.y_mm
    across = along_x * (point.y_mm - start.y_mm) - along_y * (point.x_mm - start.x_mm)
    return abs(across) / length


def cantilever_notes(length_mm: float, spread_mm: float, jaw: Jaw) -> tuple[CantileverNote, ...]:
    """Say what each rule for this jaw makes of a cantilever of this length.

    Raises:
        OutOfDomain: for a length or a spread below zero.
    """
    check_not_negative(length_mm=length_mm, spread_mm=spread_mm)
    spoken = [rule for rule in CANTILEVER_RULES if rule.jaw in (jaw, Jaw.EITHER)]
    limits = [rule.limit_mm(spread_mm) for rule in spoken]
    return tuple(
        CantileverNote(rule, limit, limit.place(length_mm)) for rule, limit in zip(spoken, limits, strict=True)
    )


def centres_for_bar_mm(bar_mm: float, diameter_mm: float) -> float:
    """Distance of implant centres for a clear length of bar (Shafie and Obeid, as above, p. 18)."""
    check_positive(bar_mm=bar_mm, diameter_mm=diameter_mm)
    return bar_mm + diameter_mm


def centres_for_clip_mm(clip_mm: float, diameter_mm: float, joint_mm: float = CLIP_SUPPORT_MM) -> float:
    """Least distance of implant centres for one clip: clip, two joints, two radii (second-hand)."""
    check_positive(clip_mm=clip_mm, diameter_mm=diameter_mm)
    check_not_negative(joint_mm=joint_mm)
    return clip_mm + 2.0 * joint_mm + diameter_mm


def outside_mm(at: Point, supports: Sequence[Point]) -> float:
    """How far a point lies outside the area (line, spot) that the supports span; 0 inside."""
    if _surrounded(at, supports):
        return 0.0
    edges = [(one, two) for n, one in enumerate(supports) for two in supports[n + 1 :] if one != two]
    return min((_from_edge(at, *edge) for edge in edges), default=math.dist(at, supports[0]))


def _from_edge(at: Point, one: Point, two: Point) -> float:
    """Distance from a stretch between two points."""
    along = np.subtract(two, one)
    if 0.0 <= np.subtract(at, one) @ along <= along @ along:
        return lever_arm_mm(at, one, two)
    return min(math.dist(at, one), math.dist(at, two))


def _surrounded(at: Point, supports: Sequence[Point]) -> bool:
    """True where no half of the plane beside the point is free of supports."""
    turns = sorted(math.atan2(p.y_mm - at.y_mm, p.x_mm - at.x_mm) for p in supports)
    gaps = [(after - before) % math.tau for before, after in zip(turns, turns[1:] + turns[:1], strict=True)]
    return len(set(turns)) > 1 and max(gaps) <= math.pi
