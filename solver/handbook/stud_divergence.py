"""How far two studs may lean, each from the path of insertion and both from each other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from solver.handbook.checks import check_not_negative
from solver.handbook.sourced import Known, Sourced

_SHAFIE = "Shafie and Obeid, Selected Readings in Oral and Maxillofacial Surgery vol. 19 no. 6, p. 5"
_MAKERS = "low-profile stud with the insert for divergent supports; a review that partly rests on makers' data"


@dataclass(frozen=True, slots=True)
class LeanLimit:
    """Most that one stud may lean, and most between two, degrees."""

    each_deg: Sourced
    between_deg: Sourced


FOR_DIVERGENT = LeanLimit(
    Sourced.single(20.0, "deg", Known.PUBLISHED, _SHAFIE, _MAKERS),
    Sourced.single(40.0, "deg", Known.PUBLISHED, _SHAFIE, _MAKERS),
)


class Divergence(NamedTuple):
    """The angle between two studs at worst, and whether each and both keep the limit."""

    between_deg: float
    each_within: bool
    between_within: bool

    @property
    def accepted(self) -> bool:
        """Both conditions hold."""
        return self.each_within and self.between_within


def divergence(one_deg: float, other_deg: float, limit: LeanLimit = FOR_DIVERGENT) -> Divergence:
    """Judge two tilts from the path of insertion; where they lean to is not known, so at worst to opposite sides.

    Raises:
        OutOfDomain: for a tilt that is negative or not finite.
    """
    check_not_negative(one_deg=one_deg, other_deg=other_deg)
    between = one_deg + other_deg
    each = max(one_deg, other_deg) <= limit.each_deg.middle
    return Divergence(between, each, between <= limit.between_deg.middle)
