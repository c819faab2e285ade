"""Where everything is and what is known there, from the case alone.

Patient frame: x to the patient's left, y forwards, z up, mm; a site's axes are rows a along it, l across, v out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from solver.audit.second_opinion.outline import Outline
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.case.schema import End, Room, Segment, Spot, Support
from solver.handbook.teeth import tooth_position

Vector: TypeAlias = NDArray[np.float64]
Fact: TypeAlias = Measure | str


@dataclass(frozen=True, eq=False)
class Place:
    """A site: its middle, its axes (3, 3) and its facts."""

    id: str
    kind: str
    at: Vector
    axes: Vector
    facts: Mapping[str, Fact]


_OF_A_SEGMENT = ("section", "alloy", "proof_mpa", "width_mm", "height_mm", "undercut_mm", "gap_mm")


class Map:
    """Positions of one case."""

    def __init__(self, world: World) -> None:
        self.world = world
        case = world.case
        self.out = np.array([0.0, 0.0, -1.0 if case.arch == "upper" else 1.0])
        self.supports = {name: _standing(support) for name, support in case.supports.items()}
        self.ends = {name: self._end(end) for name, end in case.ends.items()}
        self.outline = Outline(case)
        points = {**self.outline.last, "front": self.outline.front}
        self.base = {name: np.append(at, 0.0) for name, at in points.items()}

    @property
    def places(self) -> tuple[Place, ...]:
        """Every site: segments, ends, supports."""
        return (*self._segments(), *self._ends(), *self._platforms())

    def _segments(self) -> Iterator[Place]:
        default_mm = self.world.catalogue.defaults.support_diameter_mm.value
        for name, segment in self.world.case.segments.items():
            one, two = (self.supports[end] for end in segment.between)
            collars = sum((self.world.case.supports[end].diameter_mm or default_mm) / 2 for end in segment.between)
            clear = Measure(float(np.linalg.norm(two - one)) - collars)
            facts = _facts_of(segment, _OF_A_SEGMENT)
            facts["length_mm"] = segment.length_mm or clear
            facts |= self._held_down()
            yield self._place(name, "segment", (one + two) / 2, two - one, facts, segment, self.world.case.room)

    def _ends(self) -> Iterator[Place]:
        for name, end in self.world.case.ends.items():
            along = self.ends[name] - self.supports[end.on]
            facts = _facts_of(end, ("alloy", "ball_mm", "neck_mm", "gap_mm", "out_of_round_mm", "tilt_deg"))
            facts["length_mm"] = Measure(end.length_mm)
            facts |= self._held_down()
            yield self._place(name, "end", self.ends[name], along, facts, end, self.world.case.room)

    def _held_down(self) -> dict[str, Fact]:
        """How the bar sits on its supports, the same wherever one looks."""
        return {"fixing": self.world.case.bar.fixing, "screws": self.world.case.bar.screws}

    def _platforms(self) -> Iterator[Place]:
        shared = self.world.case.room
        for name, support in self.world.case.supports.items():
            here = self.supports[name]
            others = [at - here for other, at in self.supports.items() if other != name]
            along = min(others, key=lambda v: float(np.linalg.norm(v)), default=np.array([1.0, 0.0, 0.0]))
            # How high the bar stands says nothing of the platform below it.
            below = Room(space_mm=shared.space_mm, breadth_mm=shared.breadth_mm)
            facts = _facts_of(support, ("connection", "mobility", "bone", "tilt_deg"))
            yield self._place(name, "support", here, along, facts, support, below)

    def _place(
        self, name: str, kind: str, at: Vector, along: Vector, facts: dict[str, Fact], own: Room, shared: Room
    ) -> Place:
        a = _unit(along)
        across = np.cross(self.out, a)
        flat = np.linalg.norm(across) > 1e-9
        across = _unit(across) if flat else np.array([0.0, 1.0, 0.0])
        return Place(name, kind, at, np.array([a, across, np.cross(a, across)]), facts | _room(own, shared))

    def _end(self, end: End) -> Vector:
        if end.at_mm is not None:
            return np.array(end.at_mm)
        for segment in self.world.case.segments.values():
            if end.on in segment.between:
                other = segment.between[0] if segment.between[1] == end.on else segment.between[1]
                return self.supports[end.on] + end.length_mm * _unit(self.supports[end.on] - self.supports[other])
        raise ValueError(f"an end on '{end.on}', which no bar reaches")


def settling_mm(world: World) -> float:
    """How far the mucosa lets the base sink, at most."""
    settling = world.case.denture.settling_mm
    if settling.value is not None:
        return settling.value + settling.error
    return float(getattr(world.catalogue.defaults.settling_mm, world.case.arch))


def cover_mm(world: World) -> float:
    """Acrylic and tooth that every attachment needs above it."""
    denture, defaults = world.case.denture, world.catalogue.defaults
    acrylic = defaults.acrylic_mm.value if denture.acrylic_mm is None else denture.acrylic_mm
    return acrylic + (defaults.tooth_mm.value if denture.tooth_mm is None else denture.tooth_mm)


def on_crest(spot: Spot) -> Vector:
    """A tooth or a point seen from above, at the height of the crest."""
    x, y = tooth_position(spot) if isinstance(spot, int) else spot
    return np.array([x, y, 0.0])


def _standing(support: Support) -> Vector:
    if support.at_mm is not None:
        return np.array(support.at_mm)
    assert support.tooth is not None  # the case model sees to it
    return on_crest(support.tooth)


def _unit(vector: Vector) -> Vector:
    length = float(np.linalg.norm(vector))
    return vector / length if length else np.array([1.0, 0.0, 0.0])


def _facts_of(entry: Segment | End | Support, names: tuple[str, ...]) -> dict[str, Fact]:
    return {name: getattr(entry, name) for name in names}


def _room(own: Room, shared: Room) -> dict[str, Fact]:
    """Room above a site: its own figure first, else what is left of the space above its top."""

    def either(of: str) -> Measure:
        mine: Measure = getattr(own, of)
        return getattr(shared, of) if mine.value is None else mine

    space, top = either("space_mm"), either("top_mm")
    asked = own.room_mm if own.room_mm.value is not None or own.top_mm.value is not None else either("room_mm")
    room = _sum(space, top, -1) if asked.value is None else asked
    return {
        "room_mm": room,
        "space_mm": _sum(room, top, 1) if space.value is None else space,
        "breadth_mm": either("breadth_mm"),
    }


def _sum(one: Measure, two: Measure, sign: int) -> Measure:
    """Both with their errors added up; not known where either is not."""
    if one.value is None or two.value is None:
        return Measure()
    return Measure(one.value + sign * two.value, one.error + two.error)
