"""The sites of a case: where an attachment may sit, which way it points, and what is known there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

import numpy as np

from catalogue.models import Defaults, Rework
from catalogue.quantities import SiteKind
from solver.case.layout import Layout, Vector, cross
from solver.case.measure import Measure
from solver.case.provenance import Places, provenance
from solver.case.schema import Case, End, Room, Segment, Support

Fact: TypeAlias = Measure | str
"""A measured number or a word; the word `unknown` and an unknown measure are the same thing."""

Facts: TypeAlias = Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class Frame:
    """Local axes: a along the bar, l across it, v = a x l out of the mucosa. Rows of an orthonormal matrix."""

    a: Vector
    l: Vector  # noqa: E741 - the letter of the mechanics note
    v: Vector

    @classmethod
    def along(cls, direction: Vector, out: Vector) -> Frame:
        """The frame with a along `direction`; a bar that runs straight out gets an arbitrary cross axis."""
        square = cross(out, direction)
        length = float(np.linalg.norm(square))
        across = square / length if length > 1e-9 else np.array([0.0, 1.0, 0.0])
        return cls(direction, across, cross(direction, across))


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """A place that can take an attachment. `at` is the middle of a segment, the ball of an end, a platform.

    `places` tells where in the case each fact stands.
    """

    id: str
    kind: SiteKind
    at: Vector
    frame: Frame
    facts: Facts
    places: Mapping[str, Places]

    def spread(self, count: int, pitch_mm: float) -> tuple[Vector, ...]:
        """Positions of `count` parts set evenly about the middle, `pitch_mm` apart."""
        offsets = (np.arange(count) - (count - 1) / 2) * pitch_mm
        return tuple(self.at + offset * self.frame.a for offset in offsets)


def sites_of(case: Case, defaults: Defaults) -> tuple[Site, ...]:
    """Every site of a case in the order segments, ends, supports."""
    return tuple(_iter_sites(case, Layout(case), defaults))


def loose_under(case: Case, site: str) -> tuple[str, ...]:
    """Return the supports known to be loose that bear a site, be it a stretch, an end or a support itself."""
    if site in case.segments:
        bearers: tuple[str, ...] = tuple(case.segments[site].between)
    else:
        bearers = (case.ends[site].on if site in case.ends else site,)
    return tuple(name for name in bearers if case.supports[name].mobility == "loose")


def loose_under_the_bar(case: Case) -> tuple[str, ...]:
    """Return the supports known to be loose that bear any part of the bar."""
    return tuple(dict.fromkeys(name for site in (*case.segments, *case.ends) for name in loose_under(case, site)))


def _iter_sites(case: Case, layout: Layout, defaults: Defaults) -> Iterator[Site]:
    places = provenance(case)
    for name, segment in case.segments.items():
        start, stop = layout.line(segment)
        frame = Frame.along(layout.direction(segment), layout.out)
        length = layout.clear_length_mm(segment, defaults.support_diameter_mm.value)
        facts = _segment_facts(case, segment, length)
        yield Site(name, "segment", (start + stop) / 2, frame, facts, places[name])
    for name, end in case.ends.items():
        frame = Frame.along(layout.end_direction(end), layout.out)
        yield Site(name, "end", layout.ends[name], frame, _end_facts(case, end), places[name])
    for name, support in case.supports.items():
        frame = Frame.along(layout.support_direction(name), layout.out)
        facts = _support_facts(case.room, support)
        yield Site(name, "support", layout.supports[name], frame, facts, places[name])


def _segment_facts(case: Case, segment: Segment, clear_length_mm: float) -> Facts:
    return _facts(
        segment, case.room, section=segment.section, alloy=segment.alloy, proof_mpa=segment.proof_mpa,
        width_mm=segment.width_mm, height_mm=segment.height_mm, undercut_mm=segment.undercut_mm,
        gap_mm=segment.gap_mm, length_mm=segment.length_mm or Measure(round(clear_length_mm, 6)),
        fixing=case.bar.fixing, screws=case.bar.screws,
    )  # fmt: skip


def _end_facts(case: Case, end: End) -> Facts:
    return _facts(
        end, case.room, alloy=end.alloy, ball_mm=end.ball_mm, neck_mm=end.neck_mm, gap_mm=end.gap_mm,
        out_of_round_mm=end.out_of_round_mm, tilt_deg=end.tilt_deg, length_mm=Measure(end.length_mm),
        fixing=case.bar.fixing, screws=case.bar.screws,
    )  # fmt: skip


def _support_facts(room: Room, support: Support) -> Facts:
    # The height of a bar says nothing of the platform under it, so only the space is shared with the case.
    shared = Room(space_mm=room.space_mm, breadth_mm=room.breadth_mm)
    return _facts(
        support, shared, connection=support.connection, mobility=support.mobility,
        bone=support.bone, tilt_deg=support.tilt_deg,
    )  # fmt: skip


def _facts(own: Room, shared: Room, **facts: Fact) -> Facts:
    def first(name: str) -> Measure:
        measure: Measure = getattr(own, name)
        return measure if measure.known else getattr(shared, name)

    space, top = first("space_mm"), first("top_mm")
    room = own.room_mm if own.room_mm.known or own.top_mm.known else first("room_mm")
    if not room.known:
        room = space.less(top)
    if not space.known and room.known and top.known:
        space = Measure((room.value or 0) + (top.value or 0), room.error + top.error)
    return MappingProxyType({**facts, "space_mm": space, "room_mm": room, "breadth_mm": first("breadth_mm")})


def known(fact: Fact) -> bool:
    """True where a fact was measured or named."""
    return fact.known if isinstance(fact, Measure) else fact != "unknown"


def reworked(facts: Facts, rework: Rework) -> Facts:
    """The facts of a site after a rework; what it makes or changes carries the rework's own tolerance."""
    changed = dict(facts)
    for of, made in rework.makes.items():
        changed[of] = made if isinstance(made, str) else Measure(made, rework.tolerance_mm)
    for of, by in rework.changes.items():
        fact = changed.get(of)
        if isinstance(fact, Measure):
            changed[of] = fact.shifted(by, rework.tolerance_mm)
    return MappingProxyType(changed)
