"""What is on record for joints that rework makes: laser welds, and threads cut anew."""

from __future__ import annotations

from enum import StrEnum

from solver.handbook.sourced import Known, Sourced
from solver.handbook.wear import loss_share


class WeldedMetal(StrEnum):
    """Metals whose laser welds were pulled apart at three settings of the machine."""

    COBALT_CHROMIUM = "cobalt-chromium"
    NICKEL_CHROMIUM = "nickel-chromium"
    TITANIUM = "titanium"


WELD_STRENGTH_MPA = {
    WeldedMetal.COBALT_CHROMIUM: (360.0, 415.0, 580.0),
    WeldedMetal.NICKEL_CHROMIUM: (310.0, 405.0, 566.0),
    WeldedMetal.TITANIUM: (221.0, 180.0, 154.0),
}
"""Strength at low, middle and high voltage (published: read in the abstract of a thesis on attachments).

Titanium goes the other way: more voltage makes it weaker.
"""

_RETAP = "PubMed 40345915 (implant threads at 35 N cm, before load; not threads in a bar)"
RETAPPED_PRELOAD_SHARE = Sourced.single(
    1.0 - loss_share(before=28.41, after=18.77),
    "share",
    Known.DERIVED,
    _RETAP,
    "removal torque 18.77 against 28.41 N cm new; no difference was left after 300 000 loads (p = 0.499)",
)


def weld_gains_by_voltage(metal: WeldedMetal) -> bool:
    """Whether welds of a metal grew stronger as the voltage was raised."""
    low, _, high = WELD_STRENGTH_MPA[metal]
    return high > low
