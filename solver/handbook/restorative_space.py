"""How much vertical space a denture on implants has, by the published classes and minima.

Advice, not a limit of fit: what an attachment needs stands in the catalogue. Space runs from the crest of the ridge
to the opposing teeth, mm; publications differ in where they start, and their minima differ by that.
"""

from __future__ import annotations

from enum import StrEnum

from solver.handbook.checks import check_not_negative
from solver.handbook.sourced import Interval, Known, Sourced


class SpaceClass(StrEnum):
    """Restorative space of edentulous implant overdentures (Ahuja and Cagna 2011), from most to least."""

    I = "I"  # noqa: E741 - the name of the class
    II = "II"
    III = "III"
    IV = "IV"


_AHUJA = "Ahuja and Cagna, J Prosthet Dent 2011;105:332-337"
_BETWEEN = "whole millimetres in the source; what lies between two classes counts here as the lower one"

CLASS_FROM_MM = {
    SpaceClass.I: Sourced.single(15.0, "mm", Known.MEMORY, _AHUJA, _BETWEEN),
    SpaceClass.II: Sourced.single(12.0, "mm", Known.MEMORY, _AHUJA, _BETWEEN),
    SpaceClass.III: Sourced.single(9.0, "mm", Known.MEMORY, _AHUJA, _BETWEEN),
}
"""Least space of each class; below the last it is class IV."""


class Prosthesis(StrEnum):
    """Kinds of overdenture that differ in the space they take."""

    UNSPLINTED = "unsplinted overdenture"
    BAR = "bar overdenture"


_CARPENTIERI = "Carpentieri, Greenstein and Cavallaro, J Am Dent Assoc 2019;150:695-706"

MINIMUM_MM = {
    Prosthesis.UNSPLINTED: Sourced.single(7.0, "mm", Known.PUBLISHED, _CARPENTIERI, "minimum of a review"),
    Prosthesis.BAR: Sourced.single(11.0, "mm", Known.PUBLISHED, _CARPENTIERI, "minimum of the same review"),
}


_COURSE = "continuing education course 612 on overdentures, read in part"

OTHER_MINIMUM_MM = {
    Prosthesis.UNSPLINTED: Sourced.single(8.5, "mm", Known.PUBLISHED, _COURSE, "of low studs"),
    Prosthesis.BAR: Sourced(Interval(12.0, 14.0), "mm", Known.PUBLISHED, _COURSE),
}
"""What another authority asks. The lesser one is taken: what each part stacks up to is checked besides."""


def space_class(space_mm: float) -> SpaceClass:
    """Class of a space; between two thresholds the lower class, a rule of ours (14.9 is II).

    Raises:
        OutOfDomain: for a space that is negative or not finite.
    """
    check_not_negative(space_mm=space_mm)
    reached = (name for name, least in CLASS_FROM_MM.items() if space_mm >= least.middle)
    return next(reached, SpaceClass.IV)


def room_for(space_mm: float) -> tuple[Prosthesis, ...]:
    """Kinds of overdenture whose published minimum the space reaches; raises as `space_class`."""
    check_not_negative(space_mm=space_mm)
    return tuple(kind for kind, least in MINIMUM_MM.items() if space_mm >= least.middle)
