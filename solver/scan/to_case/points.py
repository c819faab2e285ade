"""A points file: what a person saw in the scan and gives by hand, in the axes and the unit of the scan file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

import numpy as np
from pydantic import Field

from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import Document, Loc
from solver.case.schema import SiteId
from solver.handbook.teeth import Tooth, UnknownTooth
from solver.scan.surface.mesh import Array

ScanPoint = tuple[float, float, float]


class NamedPoint(Sheet):
    """A support as seen in the scan, and the tooth at whose place it stands."""

    at: ScanPoint = Field(description="x, y, z as the viewer of the scan shows them, on the bar over the support")
    tooth: int | None = Field(default=None, description="FDI position (ISO 3950): where the bar lies in the arch")


class PointedEnd(Sheet):
    """A free end as seen in the scan."""

    at: ScanPoint = Field(description="x, y, z of the tip or ball")
    on: SiteId = Field(description="the support that carries it")


class Points(Sheet):
    """Names and places; whatever is left out is looked for in the scan."""

    out: ScanPoint | None = Field(default=None, description="path of removal")
    forwards: ScanPoint | None = Field(default=None, description="where the front of the mouth is")
    supports: dict[SiteId, NamedPoint] = Field(default={}, max_length=12, description="supports by name")
    segments: dict[SiteId, tuple[SiteId, SiteId]] = Field(
        default={}, max_length=12, description="the two supports that each stretch of bar joins, by name"
    )
    ends: dict[SiteId, PointedEnd] = Field(default={}, max_length=4, description="free ends by name")


class Hints(NamedTuple):
    """The points in mm, in the axes of the scan."""

    points: Points
    supports: dict[str, Array]
    ends: dict[str, Array]

    @property
    def out(self) -> ScanPoint | None:
        """Path of removal, where it is given."""
        return self.points.out

    @property
    def spans(self) -> list[tuple[ScanPoint, ScanPoint]] | None:
        """End points of each stretch, free ends too; None where no segment is named."""
        if not self.points.segments:
            return None
        pairs = [(self.supports[one], self.supports[two]) for one, two in self.points.segments.values()]
        pairs += [(self.supports[end.on], self.ends[name]) for name, end in self.points.ends.items()]
        return [(_triple(one), _triple(two)) for one, two in pairs]


def _triple(point: Iterable[float]) -> ScanPoint:
    x, y, z = (float(value) for value in point)
    return x, y, z


NO_HINTS = Hints(Points(), {}, {})


def read_points(document: Document, arch: str) -> Points:
    """The points in a document; raises `InputError` with every mistake at its line and column."""
    if not isinstance(document.data, dict):
        refuse(document, {(): Finding("expected `key: value` lines", "e.g. `forwards: [0, 1, 0]`")})
    points = read_sheet(Points, document)
    refuse(document, dict([*_names(points), *_teeth(points, arch)]))
    return points


def in_mm(points: Points, unit_mm: float) -> Hints:
    """The points scaled from the unit of the scan."""
    supports = {name: unit_mm * np.array(point.at) for name, point in points.supports.items()}
    return Hints(points, supports, {name: unit_mm * np.array(end.at) for name, end in points.ends.items()})


def _names(points: Points) -> Iterator[tuple[Loc, Finding]]:
    def missing(name: str) -> Finding:
        return Finding(f"no support is called '{name}'", f"known: {', '.join(points.supports) or 'none'}")

    for name, pair in points.segments.items():
        yield from ((("segments", name, k), missing(one)) for k, one in enumerate(pair) if one not in points.supports)
        if pair[0] == pair[1]:
            yield ("segments", name), Finding("runs from a support to itself", "name two supports")
    yield from ((("ends", n, "on"), missing(e.on)) for n, e in points.ends.items() if e.on not in points.supports)
    groups = (points.supports, points.segments, points.ends)
    for one, group in zip(("segments", "ends", "ends"), ((0, 1), (0, 2), (1, 2)), strict=True):
        first, second = (groups[k] for k in group)
        yield from (
            ((one, name), Finding(f"`{name}` names two things", "rename one")) for name in second if name in first
        )


def _teeth(points: Points, arch: str) -> Iterator[tuple[Loc, Finding]]:
    for name, point in points.supports.items():
        if point.tooth is None:
            continue
        try:
            fits = Tooth.from_fdi(point.tooth).arch == arch
        except UnknownTooth:
            fits = False
        if not fits:
            yield ("supports", name, "tooth"), Finding(f"{point.tooth} is no FDI tooth of the {arch} jaw", "e.g. 43")
