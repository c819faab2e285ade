"""Stretches and ends of the bar in the mouth under the whole bite, against what their alloy bears."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from catalogue.models import Defaults
from solver.case.bite_force import bite_force
from solver.case.measure import Measure
from solver.case.schema import Case
from solver.case.sites import Facts, Site, reworked, sites_of
from solver.fit.bar_strength import (
    Cut,
    bar_stress,
    cut_by,
    is_proof_given,
    measures_known,
    proof_stress_mpa,
    section_left,
    weakens,
)
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.handbook.alloys import IN_USE, modulus_band_mpa, proof_band_mpa
from solver.handbook.beams import Bending, LoadCase, bending, cantilever, overhang
from solver.handbook.sections import Section
from solver.handbook.sourced import Interval, Place

NOT_KNOWN = Interval(0.0, inf)


@dataclass(frozen=True, slots=True)
class Bent:
    """One stretch or end: least and greatest stress, what its alloy bears, and the sag at mid-span or at the tip.

    The least is with clamped ends, the greatest with ends free to turn; `stress_mpa` is NOT_KNOWN where the shape
    or a size is not known. `over` tells that a caution is due: a stretch that stands as it was is over where it
    yields even with clamped ends, one that was cut already where it would with ends free to turn. Where the alloy
    is not known only what no alloy on record bears is over.
    """

    site: str
    alloy: str
    stress_mpa: Interval
    proof_mpa: Interval
    over: bool
    sag_mm: Interval | None = None

    @property
    def alloy_known(self) -> bool:
        """False where the proof stress is that of all alloys on record."""
        return self.alloy in IN_USE

    @property
    def place(self) -> Place:
        """BELOW: bears the bite wherever the truth lies in the bands; ABOVE: bends for good; INSIDE: may."""
        if self.stress_mpa.high <= self.proof_mpa.low:
            return Place.BELOW
        return Place.ABOVE if self.stress_mpa.low > self.proof_mpa.high else Place.INSIDE


def bent_bar(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> tuple[Bent, ...]:
    """Stretches as the mix leaves them, then the ends that it leaves; none where the bar comes off."""
    if any(candidate.takes_bar_off for candidate in mix):
        return ()
    fitted = {candidate.site.id: candidate for candidate in mix}
    sites = {site.id: site for site in sites_of(case, defaults)}
    bite_n = bite_force(case).band_n
    stretches = [_stretch(sites[name], fitted.get(name), bite_n) for name in case.segments]
    cut = {name for name, c in fitted.items() if c.makes_safe}
    ends = [_end(case, defaults, name, sites, bite_n) for name in case.ends if name not in cut]
    return (*stretches, *(end for end in ends if end))


def overbent(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> tuple[Bent, ...]:
    """What the bite bends beyond what its alloy bears."""
    return tuple(found for found in bent_bar(case, defaults, mix) if found.over)


def _stretch(site: Site, candidate: Candidate | None, bite_n: Interval) -> Bent:
    facts: Facts = site.facts
    cutting = [rework for rework in candidate.reworks if weakens(rework)] if candidate else []
    for rework in cutting:
        facts = reworked(facts, rework)
    found = bar_stress(facts, cut_by(cutting), bite_n)
    if found is None:
        return Bent(site.id, str(facts["alloy"]), NOT_KNOWN, proof_stress_mpa(facts), over=False)
    over = found.verdict is Verdict.FAILS or (found.alloy_known and found.verdict is not Verdict.HOLDS)
    stress = Interval(found.clamped_mpa.low, found.free_mpa.high)
    return Bent(site.id, found.alloy, stress, found.proof_mpa, over or (bool(cutting) and found.near), found.sag_mm)


def _end(case: Case, defaults: Defaults, name: str, sites: dict[str, Site], bite_n: Interval) -> Bent | None:
    """An end as a cantilever from the collar; of several stretches at its support the strongest speaks for it.

    None for an end that does not reach beyond the collar.
    """
    end = case.ends[name]
    collar_mm = case.supports[end.on].diameter_mm or defaults.support_diameter_mm.value
    lever_mm = end.length_mm - collar_mm / 2
    if lever_mm <= 0:
        return None
    found = [_bent_end(name, end.alloy, lever_mm, facts, bite_n) for facts in _neighbours(case, end.on, sites)]
    unknown = Bent(name, end.alloy, NOT_KNOWN, proof_band_mpa(end.alloy), over=False)
    return min(found, key=lambda bent: (bent.stress_mpa, bent.alloy), default=unknown)


def _bent_end(name: str, own_alloy: str, lever_mm: float, facts: Facts, bite_n: Interval) -> Bent:
    """With the section of a stretch: root clamped at least, at most turning with that stretch on its two supports."""
    alloy, span = own_alloy if own_alloy != "unknown" else str(facts["alloy"]), facts["length_mm"]
    clamped = cantilever(lever_mm)
    turning = overhang(span.high, lever_mm) if isinstance(span, Measure) and span.high > 0 else clamped
    given = own_alloy == "unknown" and is_proof_given(facts)
    modulus, proof = modulus_band_mpa(alloy), proof_stress_mpa(facts) if given else proof_band_mpa(alloy)
    least = _tip(bite_n.low, clamped, section_left(facts, Cut(), strong=True), modulus.high)
    most = _tip(bite_n.high, turning, section_left(facts, Cut(), strong=False), modulus.low)
    stress = Interval(least.stress_mpa, most.stress_mpa)
    over = stress.low > proof.high or ((given or alloy in IN_USE) and stress.high > proof.low)
    return Bent(name, alloy, stress, proof, over, Interval(least.sag_mm, most.sag_mm))


def _tip(force_n: float, held: LoadCase, section: Section | None, modulus_mpa: float) -> Bending:
    """The whole bite on the tip; without limit where no section is left."""
    return bending(force_n, held, section, modulus_mpa) if section else Bending(inf, inf, inf)


def _neighbours(case: Case, support: str, sites: dict[str, Site]) -> Iterator[Facts]:
    for name, segment in case.segments.items():
        if support in segment.between and measures_known(sites[name].facts):
            yield sites[name].facts
