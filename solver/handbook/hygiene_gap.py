"""Whether the gap between a bar and the mucosa can be kept clean."""

from __future__ import annotations

from enum import StrEnum

from solver.handbook.checks import check_not_negative
from solver.handbook.sourced import Interval, Known, Sourced

GAP_MM = Sourced(
    Interval(1.0, 2.0),
    "mm",
    Known.PUBLISHED,
    "Shafie and Obeid, Selected Readings in Oral and Maxillofacial Surgery vol. 19 no. 6, p. 18",
    "cleaned easily from 2 mm, plaque and calculus up to 1 mm; nothing is said between, which is a caution of ours",
)


class GapVerdict(StrEnum):
    """What becomes of a gap."""

    CLEAN = "cleaned easily"
    CAUTION = "between the published values"
    PLAQUE = "plaque and calculus build up"


def gap_verdict(gap_mm: float) -> GapVerdict:
    """Judge the gap under a bar; both published values count as reached.

    Raises:
        OutOfDomain: for a gap that is negative or not finite.
    """
    check_not_negative(gap_mm=gap_mm)
    if gap_mm <= GAP_MM.interval.low:
        return GapVerdict.PLAQUE
    return GapVerdict.CLEAN if gap_mm >= GAP_MM.interval.high else GapVerdict.CAUTION
