"""The hazards that belong on a first screen, in one short sentence each."""

from __future__ import annotations

from collections.abc import Iterator

from cli.wording.places import PlaceNames, capital
from solver.assess.assessment import Assessment
from solver.assess.cautions import Hazard

GRAVEST_FIRST = (
    Hazard.MAGNET_SCAN,
    Hazard.FEW_SUPPORTS,
    Hazard.BAR_CUT,
    Hazard.BAR_BENDS,
    Hazard.BAR_CRACKS,
    Hazard.BRUXISM,
    Hazard.BAR_OFF,
)
_SHORT = {
    Hazard.MAGNET_SCAN: "The denture with its magnets comes out before any magnetic resonance scan.",
    Hazard.FEW_SUPPORTS: "With fewer than four upper implants about three times as many are lost (Kern et al. 2016, "
    "read in abstract).",
    Hazard.BAR_CUT: "Cutting weakens metal: measure {sites} before and after.",
    Hazard.BAR_BENDS: "{sites} would likely bend under a full bite, an estimate: check sizes and alloy first.",
    Hazard.BAR_CRACKS: "{sites} may crack with the years of chewing, an estimate: look for cracks at each visit.",
    Hazard.BAR_OFF: "{off} each implant carries its own load.",
}
_GRINDING = {
    "yes": "The patient grinds: parts wear sooner and thin metal carries more.",
    "unknown": "If the patient grinds, parts wear sooner and thin metal carries more.",
}


FIRST_OF_ALL = {
    Hazard.NO_DENTURE: "Make the denture; it is not in this price.",
    Hazard.DENTURE_CRACKED: "Repair the cracked base, with metal where it broke.",
    Hazard.HOUSINGS: "Try a new insert in the housings that are in the denture.",
    Hazard.OPEN_PALATE: "Let the base cover the palate.",
}
"""What is done about the denture before all else."""


def first_of_all(best: Assessment) -> Iterator[str]:
    """What is done about the denture before parts are picked up in it."""
    told = {caution.hazard for caution in best.cautions}
    for hazard, text in FIRST_OF_ALL.items():
        if hazard in told and (hazard is not Hazard.OPEN_PALATE or best.problem.case.denture.palate == "open"):
            yield text


def hazards(best: Assessment, places: PlaceNames) -> Iterator[str]:
    """The hazards of a plan, the gravest first."""
    found = {caution.hazard: caution for caution in best.cautions}
    for hazard in GRAVEST_FIRST:
        if hazard not in found:
            continue
        if hazard is Hazard.BRUXISM:
            yield _GRINDING[best.problem.case.patient.bruxism]
        else:
            yield capital(_SHORT[hazard].format(sites=places.sites(found[hazard].sites), off=places.bar_off))
