"""What is on record about a plan: published facts beside the case's own figures. Nothing is decided by it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TypeAlias

from catalogue.models import Catalogue
from solver.case.measure import Measure
from solver.case.schema import Case
from solver.case.sites import Site
from solver.fit.candidate import Candidate
from solver.handbook.ball_wear import measure_again
from solver.handbook.hygiene_gap import GapVerdict, gap_verdict
from solver.handbook.joints import WeldedMetal, weld_gains_by_voltage
from solver.handbook.magnets import FLUX_LEFT_AT_1_5_T, MagnetAlloy, force_at_offset_n
from solver.handbook.restorative_space import MINIMUM_MM, OTHER_MINIMUM_MM, Prosthesis, SpaceClass, space_class
from solver.handbook.stud_divergence import divergence

BESIDE_MM = 0.5
"""How far a magnet is taken to sit beside its keeper for the remark; the least offset that was published."""


@dataclass(frozen=True, slots=True)
class NarrowGap:
    """A gap under the bar that is not cleaned easily."""

    site: str
    gap_mm: float
    verdict: GapVerdict


@dataclass(frozen=True, slots=True)
class WornBall:
    """Balls of one size that have lost more than any on record, if they were made as `made_mm`."""

    sites: tuple[str, ...]
    ball_mm: float
    made_mm: float


@dataclass(frozen=True, slots=True)
class TightSpace:
    """The least space of the case, its class, and the kind of denture whose published minimum it misses."""

    space_mm: float
    space_class: SpaceClass
    misses: Prosthesis


@dataclass(frozen=True, slots=True)
class DisputedSpace:
    """The least space of the case, enough for one authority on this kind of denture and not for another."""

    space_mm: float
    kind: Prosthesis


@dataclass(frozen=True, slots=True)
class MagnetBeside:
    """Hold of a magnet that sits beside its keeper."""

    sites: tuple[str, ...]
    beside_mm: float
    share: float


@dataclass(frozen=True, slots=True)
class MagnetScanned:
    """Share of the flux that a scanner of 1.5 T leaves, for the alloy that bears it worst and best."""

    sites: tuple[str, ...]
    worst: float
    best: float


@dataclass(frozen=True, slots=True)
class WeldedBar:
    """A weld on a bar of a metal whose welds were tested."""

    site: str
    metal: WeldedMetal
    gains_by_voltage: bool


@dataclass(frozen=True, slots=True)
class LeaningPair:
    """Two studs on supports that at worst lean apart beyond the published limit."""

    sites: tuple[str, str]
    between_deg: float


Remark: TypeAlias = (
    NarrowGap | WornBall | TightSpace | DisputedSpace | MagnetBeside | MagnetScanned | WeldedBar | LeaningPair
)


def remarks(case: Case, catalogue: Catalogue, mix: Sequence[Candidate], sites: Sequence[Site]) -> tuple[Remark, ...]:
    """Every remark on this mix at these sites of the case, in the order of their kinds."""
    bar_off = any(candidate.takes_bar_off for candidate in mix)
    found: list[Remark] = []
    if not bar_off:
        found += _gaps(sites)
        found += _worn_balls(catalogue, sites)
    found += _space(sites, Prosthesis.UNSPLINTED if bar_off else Prosthesis.BAR)
    found += _magnets(case, [candidate for candidate in mix if candidate.attachment.magnetic])
    found += _welds(mix)
    found += _leaning(candidate for candidate in mix if candidate.takes_bar_off)
    return tuple(found)


def _value(site: Site, of: str) -> float | None:
    fact = site.facts.get(of)
    return fact.value if isinstance(fact, Measure) else None


def _gaps(sites: Sequence[Site]) -> Iterator[NarrowGap]:
    for site in sites:
        gap = _value(site, "gap_mm")
        if gap is not None and (verdict := gap_verdict(gap)) is not GapVerdict.CLEAN:
            yield NarrowGap(site.id, gap, verdict)


def _worn_balls(catalogue: Catalogue, sites: Sequence[Site]) -> Iterator[WornBall]:
    made = sorted(_ball_sizes(catalogue))
    balls = [(site.id, ball) for site in sites if (ball := _value(site, "ball_mm")) is not None]
    for size in dict.fromkeys(ball for _, ball in balls):
        larger = next((each for each in made if each >= size), None)
        if larger is not None and measure_again(larger, size):
            yield WornBall(tuple(site for site, ball in balls if ball == size), size, larger)


def _ball_sizes(catalogue: Catalogue) -> Iterator[float]:
    """The diameters that the catalogue's females are made for: the middle of what each takes."""
    for attachment in catalogue.attachments.values():
        for need in attachment.needs:
            if need.of == "ball_mm" and need.at_least is not None and need.at_most is not None:
                yield (need.at_least + need.at_most) / 2


def _space(sites: Sequence[Site], kind: Prosthesis) -> Iterator[TightSpace | DisputedSpace]:
    spaces = [space for site in sites if (space := _value(site, "space_mm")) is not None]
    if not spaces:
        return
    if min(spaces) < MINIMUM_MM[kind].middle:
        yield TightSpace(min(spaces), space_class(min(spaces)), kind)
    elif min(spaces) < OTHER_MINIMUM_MM[kind].interval.high:
        yield DisputedSpace(min(spaces), kind)


def _magnets(case: Case, magnets: Sequence[Candidate]) -> Iterator[MagnetBeside | MagnetScanned]:
    if not magnets:
        return
    at = tuple(candidate.site.id for candidate in magnets)
    yield MagnetBeside(at, BESIDE_MM, force_at_offset_n(1.0, BESIDE_MM))
    if case.patient.scans_expected != "no":
        left = [FLUX_LEFT_AT_1_5_T[alloy].middle for alloy in MagnetAlloy]
        yield MagnetScanned(at, min(left), max(left))


_WELDED = {"cobalt-chromium": WeldedMetal.COBALT_CHROMIUM, "titanium": WeldedMetal.TITANIUM}


def _welds(mix: Sequence[Candidate]) -> Iterator[WeldedBar]:
    for candidate in mix:
        metal = _WELDED.get(str(candidate.site.facts.get("alloy")))
        if metal is not None and "weld" in candidate.permissions:
            yield WeldedBar(candidate.site.id, metal, weld_gains_by_voltage(metal))


def _leaning(studs: Iterator[Candidate]) -> Iterator[LeaningPair]:
    tilts = [(c.site.id, tilt) for c in studs if (tilt := _value(c.site, "tilt_deg")) is not None]
    for (one, one_deg), (other, other_deg) in combinations(tilts, 2):
        found = divergence(one_deg, other_deg)
        if not found.accepted:
            yield LeaningPair((one, other), found.between_deg)
