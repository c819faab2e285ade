"""Teeth by their number, and where they stand on an arch.

Teeth are numbered as in ISO 3950 (FDI): the first digit is the quadrant, the second counts from the midline.
Patient frame seen from above: x to the patient's left, y forwards, mm; y = 0 at the ends of the arch curve.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from types import MappingProxyType
from typing import Literal, NamedTuple, Self, TypeAlias

from solver.handbook.arch_curve import ArchCurve, BetaCurve, Direction
from solver.handbook.point import Point

Arch: TypeAlias = Literal["lower", "upper"]
Side: TypeAlias = Literal["left", "right"]

WIDTHS_MM: Mapping[Arch, tuple[float, ...]] = MappingProxyType(
    {
        "upper": (8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0, 8.5),
        "lower": (5.0, 5.5, 7.0, 7.0, 7.0, 11.0, 10.5, 10.0),
    }
)
"""Mesiodistal crown widths of teeth 1 to 8 (table of Wheeler's Dental Anatomy, Ash).

The upper 8.5 and 6.5 were read in a teaching page that quotes the table; all others are from memory. Unworn
natural crowns measure more (Magne, Gallucci and Belser, Journal of Prosthetic Dentistry 2003, read: upper
centrals 9.1 to 9.2).
"""

DEFAULT_CURVES: Mapping[Arch, ArchCurve] = MappingProxyType(
    {"upper": BetaCurve(57.92, 31.59), "lower": BetaCurve(54.19, 28.10)}
)
"""Arch of a person whose own was not measured: a stand-in for the ridge, good for a first sketch only.

Mean width and depth at the first molars of 54 adolescents with their own teeth (Mina et al., Odontology
2017;105:229-236, read; SD of the widths 4.75 and 5.31 mm). To set them into the beta curve is a choice made
here: its authors measured at the second molars.
"""

_QUADRANTS: Mapping[int, tuple[Arch, Side]] = MappingProxyType(
    {1: ("upper", "right"), 2: ("upper", "left"), 3: ("lower", "left"), 4: ("lower", "right")}
)
_ACROSS_MIDLINE = MappingProxyType({1: 2, 2: 1, 3: 4, 4: 3})
_NAMES = (
    "central incisor",
    "lateral incisor",
    "canine",
    "first premolar",
    "second premolar",
    "first molar",
    "second molar",
    "third molar",
)


class UnknownTooth(ValueError):
    """A number that ISO 3950 gives to no permanent tooth; milk teeth (51 to 85) are refused too."""

    def __init__(self, given: object) -> None:
        self.given = given
        super().__init__(given)

    def __str__(self) -> str:
        return f"{self.given!r} is no FDI number of a permanent tooth: 11 to 18, 21 to 28, 31 to 38 or 41 to 48"


class Tooth(NamedTuple):
    """A permanent tooth: quadrant 1 to 4, place 1 to 8 from the midline. Made by `from_fdi`."""

    quadrant: int
    place: int

    @classmethod
    def from_fdi(cls, fdi: int | str) -> Self:
        """Read a two-digit number such as 33 or "33".

        Raises:
            UnknownTooth: where no permanent tooth has this number.
        """
        text = str(fdi)
        if text not in _FDI_NUMBERS:
            raise UnknownTooth(fdi)
        return cls(int(text[0]), int(text[1]))

    @classmethod
    def from_universal(cls, number: int) -> Self | None:
        """Read a number of the Universal system (ANSI/ADA 3950; from memory); None where it has no such tooth.

        It counts 1 to 16 along the upper teeth from the patient's right, then 17 to 32 back along the lower.
        """
        if not 1 <= number <= 32:
            return None
        quadrant, step = divmod(number - 1, 8)
        return cls(quadrant + 1, step + 1 if quadrant % 2 else 8 - step)

    @property
    def fdi(self) -> int:
        """The two-digit number."""
        return 10 * self.quadrant + self.place

    @property
    def arch(self) -> Arch:
        """The jaw it stands in."""
        return _QUADRANTS[self.quadrant][0]

    @property
    def side(self) -> Side:
        """The patient's side it stands on."""
        return _QUADRANTS[self.quadrant][1]

    @property
    def name(self) -> str:
        """Its name in words, such as "lower left canine"."""
        return f"{self.arch} {self.side} {_NAMES[self.place - 1]}"

    @property
    def width_mm(self) -> float:
        """Mesiodistal width of its crown, from `WIDTHS_MM`."""
        return WIDTHS_MM[self.arch][self.place - 1]

    @property
    def arc_mm(self) -> float:
        """Length along the arch from the midline to its centre, all teeth touching; positive on the left."""
        mesial = sum(WIDTHS_MM[self.arch][: self.place - 1])
        return (mesial + self.width_mm / 2.0) * (1.0 if self.side == "left" else -1.0)

    def mirror(self) -> Self:
        """Return the same tooth on the other side of the midline."""
        return self._replace(quadrant=_ACROSS_MIDLINE[self.quadrant])


_FDI_NUMBERS = frozenset(f"{quadrant}{place}" for quadrant, place in product(_QUADRANTS, range(1, 9)))


def tooth_position(fdi: int, curve: ArchCurve | None = None) -> Point:
    """Return the centre (x, y) [mm] of a tooth: its summed crown widths along the arch from the midline.

    Teeth that do not fit on the curve, with the default ones the second and third molars, stand on the
    straight line that carries it on backwards (y below zero); real arches bend in a little there. `curve`
    defaults to that of the tooth's jaw in `DEFAULT_CURVES`.

    Raises:
        UnknownTooth: where no permanent tooth has this number.
    """
    tooth = Tooth.from_fdi(fdi)
    return (curve or DEFAULT_CURVES[tooth.arch]).at(tooth.arc_mm)


def tooth_direction(fdi: int, curve: ArchCurve | None = None) -> Direction:
    """Return the tangent (x, y) of the arch at a tooth, length 1, in the sense from the patient's right to the left.

    Defaults and errors as in `tooth_position`.
    """
    tooth = Tooth.from_fdi(fdi)
    return (curve or DEFAULT_CURVES[tooth.arch]).direction(tooth.arc_mm)
