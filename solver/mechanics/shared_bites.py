"""The bite on a plan shared between mucosa and supports: what reaches the supports and the bar of a mix.

Neither the mucosa, nor what a part holds, nor how far the bar gives is one number. Every bite is worked out on the
softest, a middling and the firmest mucosa with the high end of every retention, and on the softest with the low end
too; each time with the bar at its strongest on supports that hold it against turning, and at its weakest, free to
turn on them. Least and most of these eight are given.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from catalogue.models import Defaults
from solver.case.bite_force import bite_force
from solver.case.layout import Layout
from solver.case.schema import Arch, Case
from solver.fit.candidate import Candidate
from solver.handbook.mucosa import (
    LOOSE_TURN_NMM,
    SIDEWAYS_SHARE,
    SUPPORT_RATIO,
    SUPPORT_TURN_MM2,
    whole_base_n_per_mm,
)
from solver.handbook.sourced import Interval
from solver.mechanics.bar_frame import BarFrame, Spring
from solver.mechanics.bar_rods import BarPiece, bar_pieces, stretches_of
from solver.mechanics.bearing import BearingModel, Part, Stiffness, bed_along
from solver.mechanics.bites import BITES, BiteName, bearing_groups, bite_points, lever_mm, splinted
from solver.mechanics.placement import Array, placements_of


@dataclass(frozen=True, slots=True)
class SharedBite:
    """Least and most of one bite on each support, and on all of them as a share of the bite.

    Below zero the supports are pulled, and the mucosa bears more than the bite. `lever_mm` tells how far the bite
    acts outside the supports.
    """

    name: BiteName
    force_n: float
    share: Interval
    support_n: Mapping[str, Interval]
    lever_mm: float

    @property
    def sideways_n(self) -> Interval:
        """What comes across the support that is loaded most: a share of the force along it, as measured elsewhere."""
        along = [max(abs(found.low), abs(found.high)) for found in self.support_n.values()]
        most = max(along, default=0.0)
        return Interval(*(share * most for share in SIDEWAYS_SHARE.interval))


@dataclass(frozen=True, slots=True)
class PieceBent:
    """Bending stress of a stretch or end under the worst of all bites, and how far its parts sink, least to most.

    Where nothing is left of a piece that bears something the stress is without limit.
    """

    stress_mpa: Interval
    gives_mm: Interval


@dataclass(frozen=True, slots=True)
class Borne:
    """All bites on a mix, of `bite_n` on one side, and what they do to each piece of the bar."""

    bite_n: float
    bites: tuple[SharedBite, ...]
    pieces: Mapping[str, BarPiece]
    bent: Mapping[str, PieceBent]


class _Found(NamedTuple):
    """One bite in one way: share of the supports, force on each, stress and sinking of each piece."""

    share: float
    support_n: Mapping[str, float]
    stress_mpa: Mapping[str, float]
    gives_mm: Mapping[str, float]


def borne(case: Case, layout: Layout, mix: Sequence[Candidate], defaults: Defaults) -> Borne:
    """Every bite on a mix, at the high end of the bite force."""
    ways = _Ways(case, layout, mix, defaults)
    force_n = bite_force(case).band_n.high
    found = {name: ways.under(name, force_n) for name in BITES}
    groups = bearing_groups(case, layout, mix)
    bites = tuple(
        SharedBite(
            name,
            sum(press.force_n for press in bite_points(layout, name, force_n)),
            _band([each.share for each in found[name]]),
            {s: _band([each.support_n[s] for each in found[name]]) for group in groups for s in group},
            lever_mm(layout, name, groups),
        )
        for name in BITES
    )
    bent = {}
    for piece in ways.pieces:
        worst = [max(each.stress_mpa[piece] for each in way) for way in zip(*found.values(), strict=True)]
        given = [max(each.gives_mm[piece] for each in way) for way in zip(*found.values(), strict=True)]
        bent[piece] = PieceBent(_band(worst), _band(given))
    return Borne(force_n, bites, ways.pieces, bent)


def stiffnesses(arch: Arch) -> tuple[Stiffness, Stiffness, Stiffness]:
    """The softest, a middling and the firmest mucosa; parts so many times as stiff."""
    softest, firmest = whole_base_n_per_mm(arch)
    ratio, middling = SUPPORT_RATIO.middle, math.sqrt(softest * firmest)
    return (
        Stiffness(softest, ratio * softest),
        Stiffness(middling, ratio * middling),
        Stiffness(firmest, ratio * firmest),
    )


@dataclass(frozen=True, slots=True)
class BarUnder:
    """The bar of a case as a mix leaves it, with the parts that stand on it, each by its site and place."""

    case: Case
    layout: Layout
    defaults: Defaults
    pieces: Mapping[str, BarPiece]
    parts: Sequence[tuple[str, Array]]

    def frame(self, stiffness: Stiffness, *, strong: bool) -> BarFrame:
        """At its strongest on supports that hold it against turning, or at its weakest and free to turn on them."""
        axial = stiffness.part_n_per_mm
        held = Spring(axial, SUPPORT_TURN_MM2.middle * axial)
        loose = held if strong else Spring(axial, LOOSE_TURN_NMM)
        joined = set().union(*splinted(self.case)) if self.pieces else set()
        springs = {name: loose if name in joined else held for name in self.case.supports}
        stretches = stretches_of(self.case, self.layout, self.defaults, self.pieces, strong=strong)
        supports = {name: np.asarray(at) for name, at in self.layout.supports.items()}
        return BarFrame.of(supports, springs, list(stretches), self.parts)


class _Ways:
    """One mix with everything that may be so or so."""

    def __init__(self, case: Case, layout: Layout, mix: Sequence[Candidate], defaults: Defaults) -> None:
        self._layout = layout
        placed = [(candidate, at) for candidate in mix for at in placements_of(candidate, defaults.play)]
        parts = [Part(placement, (c.attachment.length_mm or 0.0) / 2) for c, placement in placed]
        self._at = [(placement.site, placement.at) for _, placement in placed]
        bands = [candidate.attachment.retention_n for candidate, _ in placed]
        low, high = tuple(band.low for band in bands), tuple(band.high for band in bands)
        softest, middling, firmest = stiffnesses(case.arch)
        held = (softest, low), (softest, high), (middling, high), (firmest, high)
        self._model = BearingModel(bed_along(layout.base), parts, layout.out)
        self.pieces = bar_pieces(case, defaults, mix)
        bar = BarUnder(case, layout, defaults, self.pieces, self._at)
        self._ways = [
            (stiffness, holds, strong, bar.frame(stiffness, strong=strong))
            for (stiffness, holds), strong in itertools.product(held, (True, False))
        ]

    def under(self, name: BiteName, force_n: float) -> list[_Found]:
        """One bite in every way, always in the same order."""
        presses = bite_points(self._layout, name, force_n)
        total_n = sum(press.force_n for press in presses)
        found = []
        for stiffness, holds, strong, frame in self._ways:
            bearing = self._model.bear(presses, stiffness, holds, frame.gives)
            share = 1.0 - float(bearing.mucosa_n.sum()) / total_n
            found.append(self._told(frame, bearing.bar_loads, share, strong=strong))
        return found

    def _told(self, frame: BarFrame, loads: Array, share: float, *, strong: bool) -> _Found:
        up = float(self._layout.out[2])
        support_n = dict(zip(frame.supports, (up * frame.support_n @ loads).tolist(), strict=True))
        stress_mpa, gives_mm = dict.fromkeys(self.pieces, 0.0), dict.fromkeys(self.pieces, 0.0)
        for where, stress in zip(frame.where, np.abs(frame.stress_mpa @ loads).tolist(), strict=True):
            stress_mpa[where] = max(stress_mpa[where], stress)
        for (site, _), sunk_mm in zip(self._at, (-up * (frame.gives @ loads)[::3]).tolist(), strict=True):
            if site in gives_mm:
                gives_mm[site] = max(gives_mm[site], sunk_mm)
        for name, piece in self.pieces.items():
            if (piece.strong if strong else piece.weak) is None and stress_mpa[name] > 0.0:
                stress_mpa[name] = gives_mm[name] = math.inf
        return _Found(share, support_n, stress_mpa, gives_mm)


def _band(values: Sequence[float]) -> Interval:
    return Interval(min(values), max(values))
