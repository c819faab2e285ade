"""Stretches and ends of the bar in the mouth that the bite bends beyond what their alloy bears: a caution."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from catalogue.models import Defaults
from solver.alloy import IN_USE, proof_band_mpa
from solver.beam import cantilever
from solver.bite import bite_force
from solver.candidate import Candidate
from solver.case import Case
from solver.judge import Verdict
from solver.sites import Facts, Site, reworked, sites_of
from solver.sourced import Interval
from solver.strength import Cut, bar_stress, cut_by, measures_known, section_left, weakens


@dataclass(frozen=True, slots=True)
class Overbent:
    """Least and greatest stress of a stretch or an end under the whole bite, and what its alloy bears."""

    site: str
    stress_mpa: Interval
    proof_mpa: Interval


def overbent(case: Case, defaults: Defaults, mix: Sequence[Candidate]) -> tuple[Overbent, ...]:
    """Stretches as the mix leaves them, then the ends that it leaves; none where the bar comes off.

    A stretch that stands as it was is named where it yields even with clamped ends, one that was cut already where it
    would with ends free to turn. Where the alloy is not known only what no alloy on record bears is named.
    """
    if any(candidate.takes_bar_off for candidate in mix):
        return ()
    fitted = {candidate.site.id: candidate for candidate in mix}
    sites = {site.id: site for site in sites_of(case, defaults)}
    bite_n = bite_force(case).band_n
    stretches = [_stretch(sites[name], fitted.get(name), bite_n) for name in case.segments]
    cut = {name for name, c in fitted.items() if c.attachment.kind == "bare"}
    ends = [_end(case, defaults, name, sites, bite_n) for name in case.ends if name not in cut]
    return tuple(found for found in (*stretches, *ends) if found)


def _stretch(site: Site, candidate: Candidate | None, bite_n: Interval) -> Overbent | None:
    facts: Facts = site.facts
    cutting = [rework for rework in candidate.reworks if weakens(rework)] if candidate else []
    for rework in cutting:
        facts = reworked(facts, rework)
    found = bar_stress(facts, cut_by(cutting), bite_n)
    if found is None:
        return None
    over = found.verdict is Verdict.FAILS or (found.alloy_known and found.verdict is not Verdict.HOLDS)
    if not over and not (cutting and found.near):
        return None
    return Overbent(site.id, Interval(found.clamped_mpa.low, found.free_mpa.high), found.proof_mpa)


def _end(case: Case, defaults: Defaults, name: str, sites: dict[str, Site], bite_n: Interval) -> Overbent | None:
    """An end as a cantilever from the collar; of several stretches at its support the strongest speaks for it."""
    end = case.ends[name]
    collar_mm = case.supports[end.on].diameter_mm or defaults.support_diameter_mm.value
    lever_mm = end.length_mm - collar_mm / 2
    stretches = _neighbours(case, end.on, sites) if lever_mm > 0 else ()
    stresses = [(_root_stress(lever_mm, facts, bite_n), str(facts["alloy"])) for facts in stretches]
    if not stresses:
        return None
    stress, alloy = min(stresses)
    alloy = end.alloy if end.alloy != "unknown" else alloy
    proof = proof_band_mpa(alloy)
    over = stress.low > proof.high or (alloy in IN_USE and stress.high > proof.low)
    return Overbent(name, stress, proof) if over else None


def _root_stress(lever_mm: float, facts: Facts, bite_n: Interval) -> Interval:
    """Least and greatest stress at the collar with the whole bite on the tip, of the section of a stretch."""
    sections = [section_left(facts, Cut(), strong=strong) for strong in (True, False)]
    moments = (force_n * cantilever(lever_mm).lever_mm for force_n in bite_n)
    return Interval(*(m / s.modulus_mm3 if s else inf for m, s in zip(moments, sections, strict=True)))


def _neighbours(case: Case, support: str, sites: dict[str, Site]) -> Iterator[Facts]:
    for name, segment in case.segments.items():
        if support in segment.between and measures_known(sites[name].facts):
            yield sites[name].facts
