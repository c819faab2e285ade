"""What the bar of a case is as beams: every stretch and end as a mix leaves it, at its strongest and its weakest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from catalogue.models import Defaults
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.case.sites import Facts, Site, reworked, sites_of
from solver.fit.bar_strength import (
    Cut,
    cut_by,
    is_proof_given,
    measures_known,
    proof_stress_mpa,
    section_left,
    weakens,
)
from solver.fit.candidate import Candidate
from solver.handbook.alloys import IN_USE, modulus_band_mpa, proof_band_mpa
from solver.handbook.sections import Section, round_bar
from solver.handbook.sourced import Interval, Known, Sourced
from solver.mechanics.bar_frame import Rod, Stretch, rod

NOT_MEASURED_MM = Sourced(
    Interval(1.8, 3.0), "mm", Known.CHOSEN, "round bars, from the usual thin one to a stout one",
    "stands for a bar whose shape or size is not known, and only in how far it gives",
)  # fmt: skip

_BROKEN = round_bar(0.1)
"""Stands for a bar of which nothing is left: gives way under anything."""


@dataclass(frozen=True, slots=True)
class BarPiece:
    """A stretch or end as it is left: section at its strongest and weakest, None where nothing is left.

    `measured` is False where shape or a size is not known; the sections are then those of `NOT_MEASURED_MM`.
    `known` tells whether the proof stress is that of the alloy, and `cut` whether something was taken from it.
    """

    site: str
    alloy: str
    strong: Section | None
    weak: Section | None
    modulus_mpa: Interval
    proof_mpa: Interval
    measured: bool
    known: bool
    cut: bool = False
    hole: bool = False

    def rod(self, *, strong: bool) -> Rod:
        """As a beam, the strongest and stiffest that it may be or the weakest."""
        section = (self.strong if strong else self.weak) or _BROKEN
        modulus = self.modulus_mpa.high if strong else self.modulus_mpa.low
        return rod(section.second_moment_mm4, section.area_mm2, section.modulus_mm3, modulus)


def bar_pieces(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> dict[str, BarPiece]:
    """Stretches as the mix leaves them, then the ends that it leaves; none where the bar comes off."""
    if any(candidate.takes_bar_off for candidate in mix):
        return {}
    fitted = {candidate.site.id: candidate for candidate in mix}
    sites = {site.id: site for site in sites_of(case, defaults)}
    pieces = {name: _stretch(sites[name], fitted.get(name)) for name in case.segments}
    off = {name for name, candidate in fitted.items() if candidate.makes_safe}
    return pieces | {name: _end(case, name, sites) for name in case.ends if name not in off}


def stretches_of(
    case: Case, layout: Layout, defaults: Defaults, pieces: Mapping[str, BarPiece], *, strong: bool
) -> Iterator[Stretch]:
    """The pieces where they run, from support to support or to a tip."""

    def collar_mm(support: str) -> float:
        return (case.supports[support].diameter_mm or defaults.support_diameter_mm.value) / 2

    for name, piece in pieces.items():
        if name in case.segments:
            one, other = case.segments[name].between
            start, stop = layout.supports[one], layout.supports[other]
            collars = collar_mm(one), collar_mm(other)
        else:
            start, stop = layout.supports[case.ends[name].on], layout.ends[name]
            collars = collar_mm(case.ends[name].on), 0.0
        yield Stretch(name, np.asarray(start), np.asarray(stop), piece.rod(strong=strong), collars)


def _stretch(site: Site, candidate: Candidate | None) -> BarPiece:
    cutting = [rework for rework in candidate.reworks if weakens(rework)] if candidate else []
    facts: Facts = site.facts
    for rework in cutting:
        facts = reworked(facts, rework)
    return _piece(site.id, facts, str(facts["alloy"]), cut_by(cutting), is_cut=bool(cutting))


def _piece(name: str, facts: Facts, alloy: str, cut: Cut, *, is_cut: bool = False) -> BarPiece:
    given = is_proof_given(facts) and alloy == str(facts["alloy"])
    proof = proof_stress_mpa(facts) if given else proof_band_mpa(alloy)
    measured = measures_known(facts)
    thin, stout = (round_bar(size_mm) for size_mm in NOT_MEASURED_MM.interval)
    strong = section_left(facts, cut, strong=True) if measured else stout
    weak = section_left(facts, cut, strong=False) if measured else thin
    known = given or alloy in IN_USE
    modulus = modulus_band_mpa(alloy)
    return BarPiece(name, alloy, strong, weak, modulus, proof, measured, known, is_cut, bool(cut.hole_mm))


def _end(case: Case, name: str, sites: Mapping[str, Site]) -> BarPiece:
    """With the section of a stretch at its support, since a case gives none; of several the strongest."""
    end = case.ends[name]
    beside = [sites[s].facts for s, segment in case.segments.items() if end.on in segment.between]
    known = [facts for facts in beside if measures_known(facts)]
    found = []
    for facts in known or beside:
        alloy = end.alloy if end.alloy != "unknown" else str(facts["alloy"])
        found.append(_piece(name, facts, alloy, Cut()))
    if not found:
        return _piece(name, {"section": "unknown", "alloy": end.alloy}, end.alloy, Cut())
    return max(found, key=lambda piece: (piece.strong.modulus_mm3 if piece.strong else 0.0, piece.alloy))
