"""Where a base bears and ends, from the case alone: its border, its heels and the points that are pulled.

x to the patient's left, y forwards, mm.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from solver.case.schema import Case, Spot
from solver.handbook.teeth import DEFAULT_CURVES, Tooth, tooth_position

Flat: TypeAlias = NDArray[np.float64]

FLANGE_MM, PAD_MM = 5.0, 10.0
"""The border lies this far outside the tooth line, and this far behind the second molar."""


class Outline:
    """Of one case: `last` teeth (left, right), `front`, `heels` (left, right) and the corners of the `border`."""

    def __init__(self, case: Case) -> None:
        self._case, upper = case, case.arch == "upper"
        numbers = {"left": 20, "right": 10} if upper else {"left": 30, "right": 40}
        middle = np.mean([tooth_position(ten + 1) for ten in numbers.values()], axis=0)
        given = case.denture.front
        self.front = middle if given is None else _flat(given)
        self._front_moved = np.zeros(2) if given is None or isinstance(given, int) else self.front - middle
        self.last, self.heels, corners = {}, {}, [self._along(0.0, np.zeros(2), FLANGE_MM)]
        for side, ten in numbers.items():
            self.last[side], self.heels[side], more = self._side(side, ten)
            corners += more
        self.border = np.array(corners)

    def _side(self, side: str, ten: int) -> tuple[Flat, Flat, list[Flat]]:
        """Last tooth and heel of a side, and the corners of the border there."""
        denture = self._case.denture
        last, heel = getattr(denture, side), getattr(denture, f"heel_{side}")
        moved = np.zeros(2) if last is None or isinstance(last, int) else _flat(last) - tooth_position(ten + 6)
        molar_7 = Tooth.from_fdi(ten + 7).arc_mm
        station = molar_7 + np.copysign(PAD_MM, molar_7)
        if isinstance(heel, int):
            station = Tooth.from_fdi(heel).arc_mm
        ends = self._along(station, moved) if heel is None or isinstance(heel, int) else _flat(heel)
        first_molar = Tooth.from_fdi(ten + 6).arc_mm
        if last is None:
            usual = self._along(first_molar, moved)
            tooth = ends if usual[1] < ends[1] else usual
        else:
            tooth = _flat(last)
        corners = [ends + self._along(station, moved, FLANGE_MM) - self._along(station, moved)]
        for place in (2, 4, 6):
            at = Tooth.from_fdi(ten + place).arc_mm
            if self._along(at, moved)[1] > ends[1]:
                corners.append(self._along(at, moved, FLANGE_MM))
        return tooth, ends, corners

    def _along(self, station: float, moved: Flat, outwards: float = 0.0) -> Flat:
        """A point of the tooth line: all of a side's own shift from its first molar on, none of it at the front."""
        curve = DEFAULT_CURVES[self._case.arch]
        molar = Tooth.from_fdi(26 if self._case.arch == "upper" else 36).arc_mm
        share = min(1.0, abs(station) / molar)
        heading = curve.direction(station)
        off_line = outwards * np.array([-heading.y, heading.x])
        return np.array(curve.at(station)) + off_line + share * moved + (1.0 - share) * self._front_moved


def _flat(spot: Spot) -> Flat:
    return np.array(tooth_position(spot) if isinstance(spot, int) else spot, dtype=float)
