"""Where in a case every fact of a site stands, and which places one answer fills in.

A figure that stands once in a case is one place, however many sites it touches. What is not known of several
stretches of one bar, as its width, is one question with a place at each: whoever measures it measures the bar. What
follows from two figures (room is space less top) is asked for where it is really open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import TypeAlias

from catalogue.quantities import SiteKind
from solver.case.bars import bars
from solver.case.measure import Measure
from solver.case.schema import Case, End, Room, Segment, Support

Place: TypeAlias = tuple[str, ...]
"""Keys of the case file that lead to one entry."""

Places: TypeAlias = tuple[Place, ...]
"""Entries that one answer fills in."""

STANDS_ONCE: Mapping[str, Place] = {
    "scans": ("patient", "scans_expected"),
    "metals": ("patient", "sensitivities"),
    "force_n": ("bite", "force_n"),
    "fixing": ("bar", "fixing"),
    "screws": ("bar", "screws"),
    "grinding": ("patient", "bruxism"),
}
"""What a case says once for every site: a fact that is no entry of the site itself has its row here."""

OF_THE_BAR: Mapping[SiteKind, tuple[str, ...]] = {
    "segment": ("section", "alloy", "proof_mpa", "width_mm", "height_mm", "undercut_mm", "gap_mm", "length_mm"),
    "end": ("alloy",),
}
"""What one look at the bar tells of every stretch of it."""

OF_THE_SUPPORTS = ("connection", "mobility", "bone", "tilt_deg")
"""What one look at the implants, or at their papers, tells of all of them."""

OVER_THE_SUPPORTS = ("room_mm", "top_mm")
"""What is measured over all of them in one bite; asked together where a support has neither."""

_OF_ROOM = frozenset(Room.model_fields)


def provenance(case: Case) -> Mapping[str, Mapping[str, Places]]:
    """For every site the places of all its facts."""
    together = {place: places for places in _asked_together(case) for place in places}
    found: dict[str, Mapping[str, Places]] = {}
    for (group, name), entry in _entries(case).items():
        own = {of: (group, name, of) for of in type(entry).model_fields if of not in _OF_ROOM}
        here: dict[str, Place] = {**STANDS_ONCE, **dict(_of_room(entry, case.room, (group, name))), **own}
        found[name] = MappingProxyType({of: together.get(place, (place,)) for of, place in here.items()})
    return MappingProxyType(found)


def _entries(case: Case) -> Mapping[Place, Segment | End | Support]:
    """Every site by where it stands in the case."""
    return {
        **{("segments", name): segment for name, segment in case.segments.items()},
        **{("ends", name): end for name, end in case.ends.items()},
        **{("supports", name): support for name, support in case.supports.items()},
    }


def _asked_together(case: Case) -> Iterator[Places]:
    """For every bar and every fact of it, and for all supports, the places where it is not known."""
    kinds: Mapping[str, SiteKind] = {"segments": "segment", "ends": "end"}
    for bar in bars(case):
        open_at: dict[str, list[Place]] = {}
        for (group, name), entry in _entries(case).items():
            for of in OF_THE_BAR[kinds[group]] if name in bar else ():
                if not _known(entry, of):
                    open_at.setdefault(of, []).append((group, name, of))
        yield from map(tuple, open_at.values())
    for of in OF_THE_SUPPORTS:
        if places := tuple(("supports", n, of) for n, support in case.supports.items() if not _known(support, of)):
            yield places
    bare = [n for n, each in case.supports.items() if not (each.room_mm.known or each.top_mm.known)]
    for of in OVER_THE_SUPPORTS if bare else ():
        yield tuple(("supports", name, of) for name in bare)


def _known(entry: Room, of: str) -> bool:
    """True where an entry is given; a length that is left out follows from the supports."""
    value = getattr(entry, of)
    return value.known if isinstance(value, Measure) else value != "unknown"


def _of_room(own: Room, shared: Room, here: Place) -> Iterator[tuple[str, Place]]:
    """Room, space and breadth: an own figure goes before that of the case.

    A platform shares neither height nor room with the bar.
    """
    alone = ("top_mm", "room_mm") if isinstance(own, Support) else ()

    def place(of: str) -> Place:
        """Where it is given; where it is not, the place that serves the most sites."""
        return (*(here if of in alone or _known(own, of) else ("room",)), of)

    def figure(of: str) -> Measure:
        measure: Measure = getattr(own if of in alone or _known(own, of) else shared, of)
        return measure

    yield "breadth_mm", place("breadth_mm")
    yield "space_mm", place("space_mm")
    above = own.room_mm if own.top_mm.known else figure("room_mm")
    yield "room_mm", place("room_mm") if above.known else _of_difference(figure, place, here)


def _of_difference(figure: Callable[[str], Measure], place: Callable[[str], Place], here: Place) -> Place:
    """Where to ask for a room that follows from space and top: the one that is open, else the room itself."""
    parts = ("space_mm", "top_mm")
    unknown = [of for of in parts if not figure(of).known]
    inexact = [of for of in parts if figure(of).error]
    for doubtful in (unknown, inexact):
        if len(doubtful) == 1:
            return place(doubtful[0])
        if doubtful:
            break
    shared = all(place(of)[0] == "room" for of in parts)
    return ("room", "room_mm") if shared else (*here, "room_mm")
