"""Which entries of a case would settle what is open at a site, from the case alone.

One figure of the whole case is asked for once, and what is not known along one bar is asked for once a bar.
"""

from __future__ import annotations

from typing import TypeAlias

from solver.case.measure import Measure
from solver.case.schema import Case, End, Room, Segment, Support

Ask: TypeAlias = frozenset[str]
"""The entries, as `segments.A.width_mm`, that one answer fills in."""

BAR_WIDE = frozenset(
    {"section", "alloy", "proof_mpa", "width_mm", "height_mm", "undercut_mm", "gap_mm", "length_mm"}
)  # fmt: skip


def ask_for(case: Case, site: str, of: str) -> Ask:
    """The entries behind a fact of a site."""
    if of == "scans":
        return frozenset({"patient.scans_expected"})
    if of == "grinding":
        return frozenset({"patient.bruxism"})
    if of == "force_n":
        return frozenset({"bite.force_n"})
    if of in ("fixing", "screws"):
        return frozenset({f"bar.{of}"})
    key, entry = _entry(case, site)
    if of == "room_mm":
        asked = _room(case, key, entry)
        if isinstance(entry, Support) and _has_no_height(entry) and asked.startswith(f"{key}."):
            last = asked.rsplit(".", 1)[1]
            return frozenset(f"supports.{n}.{last}" for n, s in case.supports.items() if _has_no_height(s))
        return frozenset({asked})
    if of in ("space_mm", "breadth_mm"):
        return frozenset({f"{key}.{of}" if _given(getattr(entry, of)) else f"room.{of}"})
    if (
        of in ("connection", "mobility", "bone", "tilt_deg")
        and isinstance(entry, Support)
        and not _given(getattr(entry, of))
    ):
        return frozenset(f"supports.{n}.{of}" for n, s in case.supports.items() if not _given(getattr(s, of)))
    if isinstance(entry, Support) or not _tells(entry, of) or _given(getattr(entry, of)):
        return frozenset({f"{key}.{of}"})
    bar = _same_bar(case, entry)
    return frozenset(f"{key}.{of}" for key, one in bar.items() if _tells(one, of) and not _given(getattr(one, of)))


def _has_no_height(support: Support) -> bool:
    return not (_given(support.room_mm) or _given(support.top_mm))


def _tells(entry: Segment | End, of: str) -> bool:
    """Whether a fact of it is one of the whole bar: of a free end only the alloy is."""
    return of in BAR_WIDE and (isinstance(entry, Segment) or of == "alloy")


def _entry(case: Case, site: str) -> tuple[str, Segment | End | Support]:
    if site in case.segments:
        return f"segments.{site}", case.segments[site]
    if site in case.ends:
        return f"ends.{site}", case.ends[site]
    return f"supports.{site}", case.supports[site]


def _same_bar(case: Case, entry: Segment | End) -> dict[str, Segment | End]:
    """All that can be walked to along the bar."""
    reached = set(entry.between) if isinstance(entry, Segment) else {entry.on}
    while more := {s for b in case.segments.values() if reached & set(b.between) for s in b.between} - reached:
        reached |= more
    bar: dict[str, Segment | End] = {f"segments.{n}": b for n, b in case.segments.items() if reached & set(b.between)}
    return bar | {f"ends.{n}": e for n, e in case.ends.items() if e.on in reached}


def _given(value: object) -> bool:
    return value.value is not None if isinstance(value, Measure) else value != "unknown"


def _room(case: Case, key: str, entry: Room) -> str:
    """Room as it is given; else space or top, whichever alone is open; else the room itself."""
    shared = Room(space_mm=case.room.space_mm) if isinstance(entry, Support) else case.room
    whole = key if isinstance(entry, Support) else "room"
    if _given(entry.room_mm):
        return f"{key}.room_mm"
    if _given(shared.room_mm) and not _given(entry.top_mm):
        return "room.room_mm"
    space = (f"{key}.space_mm", entry.space_mm) if _given(entry.space_mm) else ("room.space_mm", shared.space_mm)
    top = (f"{key}.top_mm", entry.top_mm) if _given(entry.top_mm) else (f"{whole}.top_mm", shared.top_mm)
    blank = [where for where, measure in (space, top) if measure.value is None]
    rough = [where for where, measure in (space, top) if measure.error > 0]
    if len(blank) == 1 or (not blank and len(rough) == 1):
        return (blank or rough)[0]
    own = [where for where, _ in (space, top) if where.startswith(key)]
    return f"{key}.room_mm" if own else "room.room_mm"
