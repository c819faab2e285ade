"""The bite on a plan shared between mucosa and supports: what reaches the supports of a mix that binds or moves.

Neither the mucosa nor what a part holds is one number: every bite is worked out on the softest, a middling and the
firmest mucosa with the high end of every retention, and on the softest with the low end too. Least and most of
these four are given.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from catalogue.models import Play
from solver.case.bite_force import bite_force
from solver.case.layout import Layout, Vector
from solver.case.schema import Arch, Case
from solver.case.sites import Site
from solver.fit.candidate import Candidate
from solver.handbook.load_sharing import PointLoad, Support, share_vertical
from solver.handbook.mucosa import SUPPORT_RATIO, whole_base_n_per_mm
from solver.handbook.point import Point
from solver.handbook.sourced import Interval
from solver.mechanics.bearing import PRESSED_AT, Bearing, BearingModel, Part, Stiffness, bed_along, pressed_by
from solver.mechanics.bites import BITES, BiteName, bearing_groups, bite_points
from solver.mechanics.placement import Array, placements_of


@dataclass(frozen=True, slots=True)
class SharedBite:
    """Least and most of one bite on each support, and on all of them as a share of the bite.

    Below zero the supports are pulled, and the mucosa bears more than the bite.
    """

    name: BiteName
    share: Interval
    support_n: Mapping[str, Interval]


class _Found(NamedTuple):
    share: float
    support_n: Mapping[str, float]


def shared_bites(case: Case, layout: Layout, mix: Sequence[Candidate], play: Play) -> tuple[SharedBite, ...]:
    """Every bite on a mix, at the high end of the bite force."""
    placed = [(candidate, placement) for candidate in mix for placement in placements_of(candidate, play)]
    parts = [(c, Part(placement, (c.attachment.length_mm or 0.0) / 2)) for c, placement in placed]
    bands = [candidate.attachment.retention_n for candidate, _ in parts]
    low, high = tuple(band.low for band in bands), tuple(band.high for band in bands)
    softest, middling, firmest = stiffnesses(case.arch)
    ways = (softest, low), (softest, high), (middling, high), (firmest, high)
    model = BearingModel(bed_along(layout.base), [part for _, part in parts], layout.out)
    bar = _Bar.under(case, layout, mix, [candidate for candidate, _ in parts])
    force_n = bite_force(case).band_n.high

    def found(name: BiteName) -> list[_Found]:
        presses = bite_points(layout, name, force_n)
        return [bar.bears(model.bear(presses, *way), sum(p.force_n for p in presses)) for way in ways]

    return tuple(_banded(name, found(name)) for name in BITES)


def stiffnesses(arch: Arch) -> tuple[Stiffness, Stiffness, Stiffness]:
    """The softest, a middling and the firmest mucosa; supports so many times as stiff."""
    softest, firmest = whole_base_n_per_mm(arch)
    ratio, middling = SUPPORT_RATIO.middle, math.sqrt(softest * firmest)
    return (
        Stiffness(softest, ratio * softest),
        Stiffness(middling, ratio * middling),
        Stiffness(firmest, ratio * firmest),
    )


class _Group(NamedTuple):
    """Supports under one piece, and the share of each (n, 3) in a unit press at each of `PRESSED_AT`."""

    supports: tuple[str, ...]
    influence: Array

    @classmethod
    def of(cls, group: Mapping[str, Point]) -> _Group:
        supports = [Support(*at) for at in group.values()]
        columns = [share_vertical(supports, [PointLoad(*at, 1.0)]).shares_n for at in PRESSED_AT]
        return cls(tuple(group), np.array(columns).T)


@dataclass(frozen=True, slots=True)
class _Bar:
    """Supports in groups that act as one piece, and the group on which each part stands."""

    groups: Sequence[_Group]
    carriers: Sequence[int]
    out: Vector

    @classmethod
    def under(cls, case: Case, layout: Layout, mix: Sequence[Candidate], parts: Sequence[Candidate]) -> _Bar:
        """What carries the parts of a mix; `parts` names the candidate of each."""
        groups = bearing_groups(case, layout, mix)
        supports = (_support(case, candidate.site) for candidate in parts)
        carriers = [next(n for n, group in enumerate(groups) if support in group) for support in supports]
        return cls([_Group.of(group) for group in groups], carriers, layout.out)

    def bears(self, bearing: Bearing, total_n: float) -> _Found:
        """The presses on the parts of each group, shared among its supports."""
        support_n: dict[str, float] = {}
        for index, group in enumerate(self.groups):
            own = [w for w, carrier in zip(bearing.part_wrenches, self.carriers, strict=True) if carrier == index]
            presses = pressed_by(np.sum(own, axis=0), self.out) if own else np.zeros(3)
            support_n |= zip(group.supports, (group.influence @ presses).tolist(), strict=True)
        return _Found(1.0 - float(bearing.mucosa_n.sum()) / total_n, support_n)


def _support(case: Case, site: Site) -> str:
    """A support that the piece of bar at a site stands on."""
    if site.kind == "segment":
        return case.segments[site.id].between[0]
    return case.ends[site.id].on if site.kind == "end" else site.id


def _banded(name: BiteName, found: Sequence[_Found]) -> SharedBite:
    supports = {s: _band([each.support_n[s] for each in found]) for s in found[0].support_n}
    return SharedBite(name, _band([each.share for each in found]), supports)


def _band(values: Sequence[float]) -> Interval:
    return Interval(min(values), max(values))
