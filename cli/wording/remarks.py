"""Published facts beside a plan, a sentence each with the source and how it is known."""

from __future__ import annotations

from cli.wording.loads import band, figure
from solver.assess.remarks import (
    DisputedSpace,
    LeaningPair,
    MagnetBeside,
    MagnetScanned,
    NarrowGap,
    Remark,
    TightSpace,
    WeldedBar,
    WornBall,
)
from solver.handbook.ball_wear import LARGEST_LOSS_UM
from solver.handbook.hygiene_gap import GAP_MM, GapVerdict
from solver.handbook.magnets import FLUX_LEFT_AT_1_5_T, OFFSET_SOURCE, MagnetAlloy
from solver.handbook.restorative_space import CLASS_FROM_MM, MINIMUM_MM, OTHER_MINIMUM_MM, SpaceClass
from solver.handbook.stud_divergence import FOR_DIVERGENT

_GAP = {
    GapVerdict.PLAQUE: "plaque and calculus build up under so narrow a gap",
    GapVerdict.CAUTION: "between the published values for a gap that fills up and one that is cleaned easily",
}
_WELDS = "read in the abstract of a thesis on attachments"


def remark(found: Remark) -> str:
    """A remark as a sentence."""
    match found:
        case NarrowGap():
            return f"{found.site}: {found.gap_mm:g} mm under the bar, {_GAP[found.verdict]} ({figure(GAP_MM)})."
        case WornBall():
            where, lost, most = ", ".join(found.sites), (found.made_mm - found.ball_mm) * 1000, LARGEST_LOSS_UM
            return (
                f"{where}: measure again: {lost:.0f} um of wear is far beyond the {most.middle:g} um "
                f"reported for any; it may not be a ball made as {found.made_mm:g} mm ({figure(most)})."
            )
        case TightSpace():
            least = MINIMUM_MM[found.misses]
            return (
                f"{found.space_mm:g} mm between ridge and opposing teeth are under the {least.middle:g} mm of a "
                f"published minimum for this kind of denture: {found.misses} ({figure(least)}); class "
                f"{found.space_class} ({figure(CLASS_FROM_MM[SpaceClass.I])})."
            )
        case DisputedSpace():
            least, other = MINIMUM_MM[found.kind], OTHER_MINIMUM_MM[found.kind]
            return (
                f"{found.space_mm:g} mm between ridge and opposing teeth: authorities differ on the least for this "
                f"kind of denture, {found.kind}: {least.middle:g} mm ({figure(least)}) or {band(other.interval)} mm "
                f"({figure(other)}). The lesser is taken; what each part stacks up to is checked besides."
            )
        case MagnetBeside():
            return (
                f"{', '.join(found.sites)}: {found.beside_mm:g} mm beside its keeper a magnet holds "
                f"{found.share:.0%} of its force (published: {OFFSET_SOURCE})."
            )
        case MagnetScanned():
            flux = FLUX_LEFT_AT_1_5_T[MagnetAlloy.NEODYMIUM]
            return (
                f"{', '.join(found.sites)}: a scanner of 1.5 T that works against a magnet leaves {found.worst:.0%} "
                f"to {found.best:.0%} of its flux, by alloy; one of 3 T reverses it ({figure(flux)})."
            )
        case WeldedBar():
            more = "stronger" if found.gains_by_voltage else "weaker"
            return f"{found.site}: laser welds of {found.metal} grew {more} with more voltage (published; {_WELDS})."
        case LeaningPair():
            limit = FOR_DIVERGENT.between_deg
            return (
                f"{' and '.join(found.sites)} lean up to {found.between_deg:g} deg apart, beyond the published "
                f"{FOR_DIVERGENT.each_deg.middle:g} deg each and {limit.middle:g} deg together ({figure(limit)})."
            )
