"""How far stretches and ends of the bar in the mouth bend under the whole bite, and which beyond what they bear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from catalogue.models import Defaults
from solver.alloy import IN_USE, modulus_band_mpa, proof_band_mpa
from solver.beam import Bending, LoadCase, bending, cantilever, overhang
from solver.bite import bite_force
from solver.candidate import Candidate
from solver.case import Case
from solver.judge import Verdict
from solver.measure import Measure
from solver.section import Section
from solver.sites import Facts, Site, reworked, sites_of
from solver.sourced import Interval
from solver.strength import Cut, bar_stress, cut_by, measures_known, section_left, weakens


@dataclass(frozen=True, slots=True)
class Bent:
    """Least and greatest stress and sag of a stretch or an end under the whole bite, and what its alloy bears.

    The least is with clamped ends, the greatest with ends free to turn; sizes, bite and alloy at best and at worst.
    `over` where it is named in the cautions.
    """

    site: str
    stress_mpa: Interval
    sag_mm: Interval
    proof_mpa: Interval
    over: bool


def overbent(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> tuple[Bent, ...]:
    """The stretches and ends that the bite bends beyond what their alloy bears: a caution.

    A stretch that stands as it was is named where it yields even with clamped ends, one that was cut already where it
    would with ends free to turn. Where the alloy is not known only what no alloy on record bears is named.
    """
    return tuple(found for found in bent_bar(case, defaults, mix) if found.over)


def bent_bar(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> tuple[Bent, ...]:
    """Stretches as the mix leaves them, then ends, where their sizes are known; none where the bar comes off."""
    if any(candidate.takes_bar_off for candidate in mix):
        return ()
    fitted = {candidate.site.id: candidate for candidate in mix}
    sites = {site.id: site for site in sites_of(case, defaults)}
    bite_n = bite_force(case).band_n
    stretches = [_stretch(sites[name], fitted.get(name), bite_n) for name in case.segments]
    cut = {name for name, c in fitted.items() if c.attachment.kind == "bare"}
    ends = [_end(case, defaults, name, sites, bite_n) for name in case.ends if name not in cut]
    return tuple(found for found in (*stretches, *ends) if found)


def _stretch(site: Site, candidate: Candidate | None, bite_n: Interval) -> Bent | None:
    facts: Facts = site.facts
    cutting = [rework for rework in candidate.reworks if weakens(rework)] if candidate else []
    for rework in cutting:
        facts = reworked(facts, rework)
    found = bar_stress(facts, cut_by(cutting), bite_n)
    if found is None:
        return None
    yields = found.verdict is Verdict.FAILS or (found.alloy_known and found.verdict is not Verdict.HOLDS)
    stress = Interval(found.clamped_mpa.low, found.free_mpa.high)
    return Bent(site.id, stress, found.sag_mm, found.proof_mpa, yields or bool(cutting and found.near))


def _end(case: Case, defaults: Defaults, name: str, sites: dict[str, Site], bite_n: Interval) -> Bent | None:
    """An end as a cantilever from the collar; of several stretches at its support the strongest speaks for it."""
    end = case.ends[name]
    collar_mm = case.supports[end.on].diameter_mm or defaults.support_diameter_mm.value
    lever_mm = end.length_mm - collar_mm / 2
    stretches = _neighbours(case, end.on, sites) if lever_mm > 0 else ()
    found = [_bent_end(name, end.alloy, lever_mm, facts, bite_n) for facts in stretches]
    return min(found, key=lambda bent: (bent.stress_mpa, bent.sag_mm), default=None)


def _bent_end(name: str, alloy: str, lever_mm: float, facts: Facts, bite_n: Interval) -> Bent:
    """With the section of a stretch: root clamped at least, at most turning with that stretch on its two supports."""
    alloy = alloy if alloy != "unknown" else str(facts["alloy"])
    span = facts["length_mm"]
    turning = overhang(span.high, lever_mm) if isinstance(span, Measure) and span.high > 0 else cantilever(lever_mm)
    modulus, proof = modulus_band_mpa(alloy), proof_band_mpa(alloy)
    least = _tip(bite_n.low, cantilever(lever_mm), section_left(facts, Cut(), strong=True), modulus.high)
    most = _tip(bite_n.high, turning, section_left(facts, Cut(), strong=False), modulus.low)
    stress = Interval(least.stress_mpa, most.stress_mpa)
    over = stress.low > proof.high or (alloy in IN_USE and stress.high > proof.low)
    return Bent(name, stress, Interval(least.sag_mm, most.sag_mm), proof, over)


def _tip(force_n: float, held: LoadCase, section: Section | None, modulus_mpa: float) -> Bending:
    """The whole bite on the tip; without limit where no section is left."""
    return bending(force_n, held, section, modulus_mpa) if section else Bending(inf, inf, inf)


def _neighbours(case: Case, support: str, sites: dict[str, Site]) -> Iterator[Facts]:
    for name, segment in case.segments.items():
        if support in segment.between and measures_known(sites[name].facts):
            yield sites[name].facts
