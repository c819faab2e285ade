"""A measured bar as supports, segments and ends of a case, in the axes of the patient."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import chain
from string import ascii_uppercase

import numpy as np

from solver.case.layout import Layout
from solver.case.schema import Case
from solver.handbook.teeth import Arch, tooth_position
from solver.scan.errors import NotTheSameBar
from solver.scan.measure import BarScan
from solver.scan.surface.mesh import Array
from solver.scan.to_case.facts import Fact, Facts, end_facts, segment_facts, support_facts
from solver.scan.to_case.parts import HINT_MM, Between, Free, Parts, parts_of
from solver.scan.to_case.patient import (
    Placement,
    any_forwards,
    forwards_of,
    given_forwards,
    place_on,
    turn_to_patient,
)
from solver.scan.to_case.points import Hints

OFF_MM = (
    2.0  # by which a support may lie off the place that the case gives it before that is said (choice, no source)
)


@dataclass(frozen=True, slots=True)
class Found:
    """What the scan says, under the names of the case; `notes` tell what was assumed or left out.

    `titles`: number of a stretch in the scan -> its name.
    """

    supports: dict[str, Facts]
    segments: dict[str, Facts]
    ends: dict[str, Facts]
    titles: dict[int, str]
    notes: tuple[str, ...]


def as_case(scan: BarScan, arch: Arch, hints: Hints, case: Case | None, trueness_mm: float) -> Found:
    """Name and place the bar. Supports lie where `case` or the teeth of `hints` set them, else on the default arch.

    Raises `NothingCarries`, `ForwardsNotShown`, `NotTheSameBar`, `BadDirection`.
    """
    parts = parts_of(scan, hints)
    points, out = np.array([place.at for place in parts.places]), np.array(scan.out)
    named = _nearest(points, hints.supports)
    anchors = _anchors(hints, case)
    wanted = {number: anchors[name] for number, name in named.items() if name in anchors}
    turn = turn_to_patient(out, _forwards(parts, out, hints, len(wanted)), arch)
    if case is not None and not wanted:
        named = _matched(points @ turn.T, case, anchors)
        wanted = {number: anchors[name] for number, name in named.items()}
    placement = place_on(points, turn, wanted, arch)
    names = _support_names(points @ placement.turn.T, named, case)
    return _Writer(parts, placement, names, hints, case, trueness_mm).found(bool(wanted))


def _forwards(parts: Parts, out: Array, hints: Hints, wanted: int) -> Array:
    if hints.points.forwards is not None:
        return given_forwards(hints.points.forwards)
    if wanted >= 2:
        return any_forwards(out)
    return forwards_of(np.array([*(place.at for place in parts.places), *(end.at for end in parts.free)]), out)


def _nearest(points: Array, named: Mapping[str, Array]) -> dict[int, str]:
    """Number of the point that each name means."""
    found: dict[int, str] = {}
    for name, at in named.items():
        apart = np.linalg.norm(points - at, axis=1)
        if apart.min() < HINT_MM:
            found.setdefault(int(apart.argmin()), name)
    return found


def _anchors(hints: Hints, case: Case | None) -> dict[str, Array]:
    """Where supports are known to be in the patient."""
    if case is not None:
        return Layout(case).supports
    teeth = {name: point.tooth for name, point in hints.points.supports.items() if point.tooth is not None}
    return {name: np.array([*tooth_position(tooth), 0.0]) for name, tooth in teeth.items()}


def _matched(turned: Array, case: Case, anchors: Mapping[str, Array]) -> dict[int, str]:
    """The supports of the scan and of the case, both from the patient's right to the left."""
    if len(turned) != len(case.supports):
        raise NotTheSameBar(len(turned), len(case.supports))
    order = [int(number) for number in np.argsort(turned[:, 0])]
    return dict(zip(order, sorted(anchors, key=lambda name: float(anchors[name][0])), strict=True))


def _support_names(turned: Array, named: Mapping[int, str], case: Case | None) -> list[str]:
    """Given names, and S1, S2 and so on from the patient's right for the others."""
    names, taken = dict(named), {*named.values(), *(case.site_ids if case else ())}
    for number in np.argsort(turned[:, 0]).tolist():
        if number not in names:
            names[number] = _fresh("S", taken)
    return [names[number] for number in range(len(turned))]


def _fresh(letter: str, taken: set[str]) -> str:
    """The next free name: A, B, C and so on, or a letter with a number; it is taken then."""
    numbered = (f"{letter}{k}" for k in range(1, 1000))
    letters = ascii_uppercase if letter == "A" else ""
    name = next(one for one in chain(letters, numbered) if one not in taken)
    taken.add(name)
    return name


@dataclass(frozen=True, slots=True, eq=False)
class _Writer:
    """Everything needed to put facts under names."""

    parts: Parts
    placement: Placement
    names: list[str]
    hints: Hints
    case: Case | None
    trueness_mm: float

    def found(self, placed: bool) -> Found:
        taken = {*self.names, *(self.case.site_ids if self.case else ())}
        taken |= {*self.hints.points.segments, *self.hints.points.ends}
        titles = self._titles(taken)
        segments, ends = self._segments(titles), self._ends(taken)
        titles |= {free.end.segment: name for free, name in zip(self._frees, ends, strict=True) if free.segment}
        return Found(self._supports(), segments, ends, titles, tuple(self._notes(placed, segments, ends)))

    def _supports(self) -> dict[str, Facts]:
        found = {}
        for name, place in zip(self.names, self.parts.places, strict=True):
            found[name] = {"at_mm": _spot(self.placement.of(place.at))}
            found[name] |= support_facts(place.support, self.trueness_mm)
        return dict(sorted(found.items(), key=lambda one: _x(one[1])))

    @property
    def _betweens(self) -> list[Between]:
        return sorted(self.parts.between, key=lambda one: self._x(one.segment.start_mm, one.segment.end_mm))

    @property
    def _frees(self) -> list[Free]:
        return sorted(self.parts.free, key=lambda one: self._x(one.at))

    def _pair(self, between: Between) -> tuple[str, str]:
        """Names of the two supports, the patient's right first."""
        one, two = sorted(between.supports, key=lambda number: self._x(self.parts.places[number].at))
        return self.names[one], self.names[two]

    def _titles(self, taken: set[str]) -> dict[int, str]:
        """The names that the points or the case have, and A, B and so on from the patient's right."""
        known = {frozenset(pair): name for name, pair in self.hints.points.segments.items()}
        if self.case is not None:
            known |= {frozenset(segment.between): name for name, segment in self.case.segments.items()}
        return {one.number: known.get(frozenset(self._pair(one))) or _fresh("A", taken) for one in self._betweens}

    def _segments(self, titles: Mapping[int, str]) -> dict[str, Facts]:
        return {
            titles[between.number]: {"between": Fact(self._pair(between))}
            | segment_facts(between.segment, self.trueness_mm)
            for between in self._betweens
        }

    def _ends(self, taken: set[str]) -> dict[str, Facts]:
        found: dict[str, Facts] = {}
        for free in self._frees:
            on, at = self.names[free.on], self.placement.of(free.at)
            foot = self.placement.of(self.parts.places[free.on].at)
            level = np.array([at[0], at[1], foot[2]])
            length = max(float(np.linalg.norm(level - foot)), 0.1)
            name = self._end_name(on, free.at, {*found}) or _fresh("E", taken)
            found[name] = {
                "on": Fact(on),
                "length_mm": Fact(round(length, 2)),
                "at_mm": _spot(level, f"level of the bar; the ball stands {at[2] - foot[2]:+.1f} mm from it"),
            } | end_facts(free.end, free.segment, self.trueness_mm)
        return found

    def _end_name(self, on: str, at: Array, used: set[str]) -> str | None:
        """The name that the points or the case have for the end on this support."""
        near = _nearest(at[None], self.hints.ends)
        if near and near[0] not in used:
            return near[0]
        ends = self.case.ends if self.case else {}
        return next((name for name, end in ends.items() if end.on == on and name not in used), None)

    def _x(self, *points: Iterable[float]) -> float:
        return float(np.mean([self.placement.of(np.array([*point]))[0] for point in points]))

    def _notes(self, placed: bool, segments: Mapping[str, Facts], ends: Mapping[str, Facts]) -> Iterator[str]:
        if not placed:
            yield (
                "where the bar lies in the arch is assumed: even about the midline, on an average arch; "
                "give a support its `tooth:` in a points file"
            )
        if self.placement.off_mm > OFF_MM:
            yield f"the scan and the places of the supports differ by up to {self.placement.off_mm:.1f} mm"
        if self.parts.loose:
            yield f"{self.parts.loose} stretch(es) of bar that stand on nothing were left out"
        if self.case is not None:
            for name in (*self.case.segments, *self.case.ends):
                if name not in segments and name not in ends:
                    yield f"{name} was not found in the scan and stays as it is"


def _spot(at: Array, remark: str = "") -> Fact:
    x, y, z = (round(float(value), 2) + 0.0 for value in at)
    return Fact((x, y, z), remark)


def _x(facts: Facts) -> float:
    at = facts["at_mm"].value
    return float(at[0]) if isinstance(at, tuple) else 0.0
