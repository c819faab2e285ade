"""Whether a bar still bears the bite once something is cut from it.

The worst of a straight stretch: the whole bite on its middle, where a hole would be. Its ends are neither clamped
nor free to turn, so clamped ends give the least stress and free ends the most. The verdict goes by the least: a bar
that yields even with clamped ends is physics; between the two it holds, with a caution. Static and nominal: neither
fatigue nor the peak at the edge of a hole is counted.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from catalogue.models import Rework
from solver.case.measure import Measure
from solver.case.sites import Facts, reworked
from solver.fit.needs import STRENGTH, Judgement, Verdict
from solver.handbook.alloys import IN_USE, modulus_band_mpa, proof_band_mpa
from solver.handbook.beams import Bending, SpanBand, span_band
from solver.handbook.checks import OutOfDomain
from solver.handbook.sections import NothingLeft, Section, ellipse, keyhole, necked, rectangle
from solver.handbook.sourced import Interval


class Cut(NamedTuple):
    """What work on a bar leaves: a neck under a cut undercut, and a hole."""

    undercut: bool = False
    hole_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class BarStress:
    """Stress and sag of a stretch at mid-span, each least and most for what is known of sizes and bite."""

    clamped_mpa: Interval
    free_mpa: Interval
    sag_mm: Interval
    proof_mpa: Interval
    alloy: str
    proof_given: bool = False

    @property
    def alloy_known(self) -> bool:
        """False where the proof stress is that of all alloys on record."""
        return self.alloy in IN_USE or self.proof_given

    @property
    def verdict(self) -> Verdict:
        """Fails above the greatest proof stress, holds up to the least of a known alloy; the rest must be asked.

        Where nothing bends, between supports that all but touch, any alloy bears it.
        """
        if self.clamped_mpa.low > self.proof_mpa.high:
            return Verdict.FAILS
        least_mpa = self.proof_mpa.low if self.alloy_known else 0.0
        safe = self.clamped_mpa.high <= least_mpa
        return Verdict.HOLDS if safe else Verdict.ASK


def weakens(rework: Rework) -> bool:
    """True for a step that takes something away from the section of a bar."""
    smaller = any(rework.changes.get(of, 0.0) < 0.0 for of in ("width_mm", "height_mm"))
    made = {"section", "width_mm", "height_mm", "undercut_mm"} & set(rework.makes)
    return bool(smaller or made or rework.hole_mm or rework.changes.get("undercut_mm", 0.0) > 0.0)


def cut_by(reworks: Sequence[Rework]) -> Cut:
    """What these steps together leave; of several holes the widest."""
    holes = [rework.hole_mm.value for rework in reworks if rework.hole_mm]
    undercut = any("undercut_mm" in rework.makes or "undercut_mm" in rework.changes for rework in reworks)
    return Cut(undercut, max(holes, default=0.0))


def judge_strength(facts: Facts, reworks: Sequence[Rework], bite_n: Interval) -> Iterator[Judgement]:
    """The need of a stretch that these steps weaken; none where nothing is cut from it, or where it is no stretch."""
    cutting = [rework for rework in reworks if weakens(rework)]
    if not cutting or "section" not in facts:
        return
    for rework in reworks:
        facts = reworked(facts, rework)
    cut, made = cut_by(cutting), {of for rework in reworks for of in rework.makes}
    found = bar_stress(facts, cut, bite_n)
    step, source = cutting[-1].id, cutting[-1].source
    if found is None:
        verdict, have, short_by = Verdict.ASK, "unknown", 0.0
    else:
        verdict, have, short_by = found.verdict, _have(found.clamped_mpa), _short_by(found)
    asked = open_facts(facts, cut, bite_n, made) if verdict is Verdict.ASK else ()
    why = "bending under the bite with clamped ends; proof stress of the alloy on record"
    yield Judgement(
        STRENGTH, "bar strength", have, _want(facts), verdict, short_by, "MPa", source, step=step, why=why,
        hangs_on=asked,
    )  # fmt: skip


def _short_by(found: BarStress) -> float:
    """Stress above the proof stress for certain; 0 where nothing is left that could be stressed."""
    over = found.clamped_mpa.low - found.proof_mpa.high
    return round(over, 6) if 0.0 < over < math.inf else 0.0


def _have(stress: Interval) -> str:
    """The stress with clamped ends; one end may be without limit where nothing, or perhaps nothing, is left."""
    if math.isinf(stress.low):
        return "nothing left"
    return f"{_span(stress)} MPa" if math.isfinite(stress.high) else f"{stress.low:.0f} MPa or more"


def _want(facts: Facts) -> str:
    alloy, proof = str(facts["alloy"]), proof_stress_mpa(facts)
    if is_proof_given(facts):
        return f"at most {_span(proof)} MPa"
    if alloy in IN_USE:
        return f"at most {_span(proof)} MPa ({alloy})"
    return f"at most what its alloy bears; {proof.high:.0f} MPa on record"


def is_proof_given(facts: Facts) -> bool:
    """True where the case gives the proof stress of a stretch, whatever its alloy is called."""
    return _measure(facts, "proof_mpa").known


def proof_stress_mpa(facts: Facts) -> Interval:
    """Proof stress of a stretch: as given, else what is on record for its alloy."""
    given = _measure(facts, "proof_mpa")
    return Interval(given.low, given.high) if is_proof_given(facts) else proof_band_mpa(str(facts["alloy"]))


def _span(band: Interval) -> str:
    low, high = f"{band.low:.0f}", f"{band.high:.0f}"
    return low if low == high else f"{low} to {high}"


def bar_stress(facts: Facts, cut: Cut, bite_n: Interval) -> BarStress | None:
    """Stress of a stretch with these facts after work on it; None where its shape or a size is not known."""
    if not measures_known(facts):
        return None
    alloy = str(facts["alloy"])
    modulus = modulus_band_mpa(alloy)
    stiff = _bent(facts, cut, bite_n.low, modulus.high, strong=True)
    weak = _bent(facts, cut, bite_n.high, modulus.low, strong=False)
    return BarStress(
        clamped_mpa=Interval(stiff.fixed.stress_mpa, weak.fixed.stress_mpa),
        free_mpa=Interval(stiff.simple.stress_mpa, weak.simple.stress_mpa),
        sag_mm=Interval(stiff.fixed.sag_mm, weak.simple.sag_mm),
        proof_mpa=proof_stress_mpa(facts),
        alloy=alloy,
        proof_given=is_proof_given(facts),
    )


_SIZES = {
    "round": ("width_mm",),
    "ovoid": ("width_mm", "height_mm"),
    "parallel": ("width_mm", "height_mm"),
    "keyhole": ("width_mm", "height_mm", "undercut_mm"),
}


def measures_known(facts: Facts) -> bool:
    """True where the shape of a stretch and every size that its strength takes are known."""
    return not list(_unknown(facts, Cut()))


def _unknown(facts: Facts, cut: Cut) -> Iterator[str]:
    """Shape and sizes without which nothing is known of the strength, or of the neck under a cut undercut."""
    if facts["section"] not in _SIZES:
        yield "section"
    sizes = _SIZES.get(str(facts["section"]), ("width_mm", "height_mm"))
    under = ("undercut_mm",) if cut.undercut and "undercut_mm" not in sizes else ()
    yield from (of for of in (*sizes, *under, "length_mm") if not _measure(facts, of).known)


def open_facts(facts: Facts, cut: Cut, bite_n: Interval, made: Collection[str]) -> tuple[str, ...]:
    """What to find out where it is open whether the bar bears the bite: the fewest facts, in this order, that can
    settle it for good. `facts` are those after all work; what was `made` comes last.

    Shape and sizes, where they are not known, go before all else: until then nothing can be worked out.
    """
    alloy = ("alloy",) if facts["alloy"] not in IN_USE and not is_proof_given(facts) else ()
    if unknown := tuple(_unknown(facts, cut)):
        return (*unknown, *alloy)
    sizes = [of for of in ("width_mm", "height_mm", "undercut_mm", "length_mm") if _measure(facts, of).error]
    sizes.sort(key=lambda of: of in made)
    doubts = (*alloy, "force_n", "proof_mpa", *sizes)
    band = {"force_n": bite_n, "proof_mpa": proof_stress_mpa(facts)}
    open_ones = [of for of in doubts if of not in band or band[of].low < band[of].high]
    counts = range(1, len(open_ones))
    enough = (count for count in counts if _bears_at_best(facts, cut, bite_n, open_ones[:count]))
    return tuple(open_ones[: next(enough, len(open_ones))])


def _bears_at_best(facts: Facts, cut: Cut, bite_n: Interval, answered: Collection[str]) -> bool:
    """Whether a bar bears the bite for certain once these come out as well as they can."""
    best = {of: _edge(facts, of, high=of in ("width_mm", "height_mm")) for of in answered if of.endswith("_mm")}
    force_n = bite_n.low if "force_n" in answered else bite_n.high
    changed = {**facts, **{of: Measure(value) for of, value in best.items()}}
    found, proof = bar_stress(changed, cut, Interval(force_n, force_n)), proof_stress_mpa(facts)
    least = max(proof_band_mpa(name).low for name in IN_USE) if "alloy" in answered else proof.low
    return found is not None and found.clamped_mpa.high <= (proof.high if "proof_mpa" in answered else least)


def _bent(facts: Facts, cut: Cut, force_n: float, modulus_mpa: float, *, strong: bool) -> SpanBand:
    """Bending at the strong or at the weak edge of every measure; without limit where nothing is left."""
    length_mm = _edge(facts, "length_mm", high=not strong)
    if length_mm <= 0.0:
        nothing = Bending(0.0, 0.0, 0.0)
        return SpanBand(nothing, nothing)
    section = section_left(facts, cut, strong=strong)
    if section is None:
        broken = Bending(math.inf, math.inf, math.inf)
        return SpanBand(broken, broken)
    return span_band(force_n, length_mm, section, modulus_mpa)


def section_left(facts: Facts, cut: Cut, *, strong: bool) -> Section | None:
    """The section after work on it, at the strong or the weak edge of its measures; None where nothing is left."""
    try:
        return _section(facts, cut, strong=strong)
    except (NothingLeft, OutOfDomain):
        return None


def _section(facts: Facts, cut: Cut, *, strong: bool) -> Section:
    """The section at one edge of its measures.

    Round and ovoid bars are ellipses, since how high their widest line lies is not measured; a round bar of unknown
    height is as high as wide. An undercut that was cut leaves the neck alone below the widest line.

    Raises:
        NothingLeft: where a hole is as wide as the bar.
        OutOfDomain: where a size is not above zero.
    """
    width_mm = _edge(facts, "width_mm", high=strong)
    height_mm = _edge(facts, "height_mm", high=strong) if _measure(facts, "height_mm").known else width_mm
    if facts["section"] == "parallel":
        return rectangle(width_mm, height_mm, hole_mm=cut.hole_mm)
    if facts["section"] == "keyhole":
        neck_mm = _neck_mm(facts, width_mm, strong=strong)
        return keyhole(width_mm, neck_mm, max(height_mm, width_mm), hole_mm=cut.hole_mm)
    if cut.undercut:
        return necked(width_mm, height_mm, _neck_mm(facts, width_mm, strong=strong), hole_mm=cut.hole_mm)
    return ellipse(width_mm, height_mm, hole_mm=cut.hole_mm)


def _neck_mm(facts: Facts, width_mm: float, *, strong: bool) -> float:
    return width_mm - 2.0 * max(_edge(facts, "undercut_mm", high=not strong), 0.0)


def _edge(facts: Facts, of: str, *, high: bool) -> float:
    measure = _measure(facts, of)
    return measure.high if high else measure.low


def _measure(facts: Facts, of: str) -> Measure:
    fact = facts.get(of)
    return fact if isinstance(fact, Measure) else Measure()
