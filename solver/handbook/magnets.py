"""What is left of a magnet's hold beside its keeper, and after a scanner."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from solver.handbook.checks import OutOfDomain, check_not_negative, check_positive
from solver.handbook.sourced import Interval, Known, Sourced

OFFSET_SOURCE = "Wigianto et al., Dent J 2022;10:75, doi 10.3390/dj10050075 (flat magnet on keeper)"
OFFSET_MM = (0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0)
OFFSET_FACTOR = (1.0, 0.827, 0.688, 0.624, 0.472, 0.357, 0.207)
"""Share of the seated force at a lateral offset (read in the abstract); without offset 1 by definition."""


class MagnetAlloy(StrEnum):
    """Rare-earth magnets that differ in how they bear a scanner."""

    NEODYMIUM = "neodymium-iron-boron"
    SAMARIUM = "samarium-cobalt"


_SCANNER = "Blankenstein et al., Rofo 2011;183(8), doi 10.1055/s-0031-1273424"

FLUX_LEFT_AT_1_5_T = {
    MagnetAlloy.NEODYMIUM: Sourced.single(0.34, "share", Known.PUBLISHED, _SCANNER, "field opposed to the magnet"),
    MagnetAlloy.SAMARIUM: Sourced.single(0.92, "share", Known.PUBLISHED, _SCANNER, "field opposed to the magnet"),
}


@dataclass(frozen=True, slots=True)
class AfterScan:
    """Worst a scan does to a magnet left in the field: reversed, or a band of the force that is left [N].

    How force follows flux was not measured there. The band runs from its square to in proportion.
    """

    reversed: bool
    force_n: Interval | None


def force_at_offset_n(seated_n: float, offset_mm: float) -> float:
    """Force of a magnet that sits beside its keeper, straight lines between the published offsets.

    Raises:
        OutOfDomain: for a force or offset below zero, or an offset beyond the published 3 mm.
    """
    check_not_negative(seated_n=seated_n, offset_mm=offset_mm)
    if offset_mm > OFFSET_MM[-1]:
        raise OutOfDomain("offset_mm", offset_mm, f"nothing is published beyond {OFFSET_MM[-1]:g} mm")
    return seated_n * float(np.interp(offset_mm, OFFSET_MM, OFFSET_FACTOR))


def after_scan(seated_n: float, alloy: MagnetAlloy, field_t: float) -> AfterScan:
    """Say what a magnet opposed to the field of a scanner holds afterwards; duration plays no part.

    Figures exist for 1.5 T and 3 T. A weaker field is judged as 1.5 T, one between as 3 T: on the safe side.

    Raises:
        OutOfDomain: for a force below zero or a field not above zero.
    """
    check_not_negative(seated_n=seated_n)
    check_positive(field_t=field_t)
    if field_t > 1.5:
        return AfterScan(reversed=True, force_n=None)
    flux = FLUX_LEFT_AT_1_5_T[alloy].middle
    return AfterScan(reversed=False, force_n=Interval(seated_n * flux**2, seated_n * flux))
