"""The denture base: where it bears, where it is bitten and where it is pulled, which are three different things.

It bears on all within its border. It is bitten on the premolars and molars, however far behind them it ends. It is
pulled, and sinks, at its first molars and its front; pulled behind, at both heels at once. What a case does not tell
follows from anatomy, as stated here and nowhere else. Patient frame seen from above, z = 0 at the crest, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Self, TypeAlias

import numpy as np
from numpy.typing import NDArray

from solver.case.schema import Case, Spot
from solver.handbook.arch_curve import ArchCurve
from solver.handbook.sourced import Known, Sourced
from solver.handbook.teeth import DEFAULT_CURVES, Arch, Tooth, tooth_position

Vector: TypeAlias = NDArray[np.float64]
Side: TypeAlias = Literal["left", "right"]

LAST_TOOTH = 6
"""Place of the last tooth where a case names none: the first molar (common practice, no source)."""

BITTEN_TEETH = 5, 6
"""Between them lies the bite of a side: second premolar and first molar (common practice, no source)."""

HEEL_BEHIND = Sourced.single(
    10.0, "mm", Known.CHOSEN, "the second molar, the base ending on retromolar pad or tuberosity",
    "that it should end there is common practice, no source; how far that is has not been measured",
)  # fmt: skip
"""Distance along the ridge from the middle of the second molar to the heel."""

BORDER_OUTSIDE = Sourced.single(
    5.0, "mm", Known.CHOSEN, "the tooth line; border of the flange, no source",
    "with 10 mm behind it gives the shares of hold that the plans were calibrated with",
)  # fmt: skip
"""Distance of the border from the middle of the tooth line."""

_BORDER_PLACES = 6, 4, 2
"""Teeth at which the border has a corner, besides heels and front; more add 0.02 to a share of hold at most."""

_SECOND_MOLAR = 7
_QUADRANTS: dict[Arch, dict[Side, int]] = {"lower": {"left": 3, "right": 4}, "upper": {"left": 2, "right": 1}}


@dataclass(frozen=True, slots=True)
class Base:
    """A base in outline.

    `left`, `right` and `front` sink under a demand and are pulled: the last teeth and the front of the tooth line.
    `ridge` runs along the crest from the right heel to the left one, `border` on the outside of it.
    """

    left: Vector
    right: Vector
    front: Vector
    bitten_left: Vector
    bitten_right: Vector
    ridge: tuple[Vector, ...]
    border: tuple[Vector, ...]

    @property
    def heel_left(self) -> Vector:
        """Where it ends behind on the left."""
        return self.ridge[-1]

    @property
    def heel_right(self) -> Vector:
        """Where it ends behind on the right."""
        return self.ridge[0]

    def shifted(self, by: Vector) -> Self:
        """The same base at another place."""
        points = self.left, self.right, self.front, self.bitten_left, self.bitten_right
        left, right, front, bitten_left, bitten_right = (at + by for at in points)
        ridge, border = (tuple(at + by for at in line) for line in (self.ridge, self.border))
        return type(self)(left, right, front, bitten_left, bitten_right, ridge, border)


def base_of(case: Case) -> Base:
    """The base that a case tells, the rest from anatomy."""
    line = _ToothLine.of(case)
    left, right = _Half.of(case, line, "left"), _Half.of(case, line, "right")
    front, outside_mm = line.at(0.0), line.at(0.0, BORDER_OUTSIDE.middle)
    return Base(
        left.last,
        right.last,
        _front(case),
        left.bitten,
        right.bitten,
        (*right.ridge, front, *reversed(left.ridge)),
        (*right.border, outside_mm, *reversed(left.border)),
    )


@dataclass(frozen=True, slots=True)
class _ToothLine:
    """The usual arch of a jaw, moved along with the points that a case gives as measured.

    Teeth stand on the usual arch. Where the case gives the last tooth of a side, or the front, by coordinates, the
    line passes by there: what is behind moves as that tooth does, what is between in proportion.
    """

    curve: ArchCurve
    last_mm: float
    off_left: Vector
    off_right: Vector
    off_front: Vector

    @classmethod
    def of(cls, case: Case) -> Self:
        quadrants = _QUADRANTS[case.arch]
        usual = {side: Tooth(quadrants[side], LAST_TOOTH) for side in quadrants}

        def off(given: Spot | None, from_usual: Vector) -> Vector:
            return np.zeros(3) if given is None or isinstance(given, int) else on_crest(given) - from_usual

        denture = case.denture
        return cls(
            DEFAULT_CURVES[case.arch],
            usual["left"].arc_mm,
            off(denture.left, on_crest(usual["left"].fdi)),
            off(denture.right, on_crest(usual["right"].fdi)),
            off(denture.front, _usual_front(case.arch)),
        )

    def at(self, arc_mm: float, outside_mm: float = 0.0) -> Vector:
        """A point so far along the line from the front, positive on the left, and so far outside it."""
        at, along = self.curve.at(arc_mm), self.curve.direction(arc_mm)
        beside = min(abs(arc_mm) / self.last_mm, 1.0)
        off = (self.off_left if arc_mm > 0 else self.off_right) * beside + self.off_front * (1 - beside)
        return np.array([at.x_mm, at.y_mm, 0.0]) + outside_mm * np.array([-along.y, along.x, 0.0]) + off


@dataclass(frozen=True, slots=True)
class _Half:
    """One side of a base; ridge and border from the heel to the front."""

    last: Vector
    bitten: Vector
    ridge: tuple[Vector, ...]
    border: tuple[Vector, ...]

    @classmethod
    def of(cls, case: Case, line: _ToothLine, side: Side) -> Self:
        """A half: what is not told stays on what is, a last tooth on the base and a bite on the teeth."""
        given, quadrant = case.denture, _QUADRANTS[case.arch][side]
        sign = 1.0 if side == "left" else -1.0
        told_last, told_heel = getattr(given, side), getattr(given, f"heel_{side}")
        told_bitten = getattr(given, f"bitten_{side}")

        def arc_mm(place: int) -> float:
            return Tooth(quadrant, place).arc_mm

        def told(spot: Spot) -> Vector:
            return line.at(Tooth.from_fdi(spot).arc_mm) if isinstance(spot, int) else on_crest(spot)

        heel_mm = arc_mm(_SECOND_MOLAR) + sign * HEEL_BEHIND.middle
        if isinstance(told_heel, int):
            heel_mm = Tooth.from_fdi(told_heel).arc_mm
        heel = line.at(heel_mm) if told_heel is None else told(told_heel)
        heel_border = heel + line.at(heel_mm, BORDER_OUTSIDE.middle) - line.at(heel_mm)
        before = [arc_mm(place) for place in _BORDER_PLACES if line.at(arc_mm(place))[1] > heel[1]]
        last = on_crest(told_last) if told_last is not None else _no_farther_back(line.at(arc_mm(LAST_TOOTH)), heel)
        usual_bite = line.at(sum(map(arc_mm, BITTEN_TEETH)) / len(BITTEN_TEETH))
        return cls(
            last,
            _no_farther_back(usual_bite, last) if told_bitten is None else told(told_bitten),
            (heel, *(line.at(arc) for arc in before)),
            (heel_border, *(line.at(arc, BORDER_OUTSIDE.middle) for arc in before)),
        )


def _no_farther_back(at: Vector, limit: Vector) -> Vector:
    return at if at[1] >= limit[1] else limit


def _front(case: Case) -> Vector:
    return _usual_front(case.arch) if case.denture.front is None else on_crest(case.denture.front)


def _usual_front(arch: Arch) -> Vector:
    """Between the first incisors."""
    one, other = (on_crest(Tooth(quadrant, 1).fdi) for quadrant in _QUADRANTS[arch].values())
    return (one + other) / 2


def on_crest(spot: Spot) -> Vector:
    """A tooth of the usual arch, or a point seen from above, at the height of the crest."""
    x, y = tooth_position(spot) if isinstance(spot, int) else spot
    return np.array([x, y, 0.0])
