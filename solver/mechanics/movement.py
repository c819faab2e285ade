"""Does a mix bind? How far the base may sink under a demand, by one linear programme each.

Small displacements, rigid denture, rigid bar. The denture moves by a twist (w, t): its point p goes t + w x p. An
attachment boxes the six local components of the motion at its place; the mucosa lets no point of the base sink
deeper than its settling. `reach` is the largest fraction of a demand that some twist allows. Formulas:
docs/mechanics.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from solver.case.base import Base
from solver.case.layout import Vector
from solver.case.schema import DemandName
from solver.errors import InternalFault
from solver.mechanics.lp import INFINITE, Bounds, Ending, LinearProgram, Solution
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Array, Component, Placement

ASKED: Mapping[DemandName, tuple[str, ...]] = {
    "whole": ("front", "left", "right"),
    "front": ("front",),
    "left": ("left",),
    "right": ("right",),
}
"""Points of the base that a demand asks to sink by the settling of the mucosa."""

REACH_TOLERANCE = 1e-6
"""An LP keeps its rows to about 1e-7 of a millimetre; a demand missed by less is met."""

DUAL_TOLERANCE = 1e-9
"""Duals below this come from rounding."""


@dataclass(frozen=True, slots=True)
class Stop:
    """What stops a demand: a component of an attachment at its limit. `gain` is reach won per mm of more freedom.

    `part` counts from 0 in the order in which the parts were given.
    """

    site: str
    component: Component
    sign: int
    gain: float
    part: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """Answer to one demand.

    `twist` (6,) is the motion (w in rad, t in mm) that reaches it. `wrenches` are duals on scaled twists, one (6,)
    for each part of a site that has any: with `constant` they bound the reach of every mix (see `worth`). `base`
    (3,) are those of the sinking of front, left and right, which balance the wrenches.
    """

    demand: DemandName
    reach: float
    twist: Array
    stops: tuple[Stop, ...]
    wrenches: Mapping[str, tuple[Array, ...]]
    constant: float
    base: Array


_POINTS = ("front", "left", "right")
_REACH = 6
_REACH_ONLY = np.eye(7)[_REACH]
_ANYWHERE: Bounds = np.array([-INFINITE] * 6 + [0.0]), np.array([INFINITE] * 6 + [1.0])
_NOT_FAR: Bounds = np.array([-FREE] * 6 + [0.0]), np.array([FREE] * 6 + [1.0])


class MovementModel:
    """The LP of seven unknowns for the base of a case. Nothing in it knows of candidates or cost.

    Unknowns: LENGTH_MM * w (3), t (3), reach. Rows: how deep each point of the base sinks; for each point that is
    asked, how deep less the reach times its settling; then six for each placement.
    """

    def __init__(self, base: Base, out: Vector, settling_mm: float) -> None:
        self._lp = LinearProgram()
        self._settling_mm = settling_mm
        self._sinking = np.array([sinking_row(getattr(base, name), out) for name in _POINTS])

    def reach(self, placements: Sequence[Placement], demand: DemandName) -> Reach:
        """Largest fraction of `demand` that the placements together allow."""
        self._limit(placements, ASKED[demand], _ANYWHERE)
        found = self._maximise(_REACH_ONLY)
        points, asked = len(_POINTS), [_POINTS.index(name) for name in ASKED[demand]]
        duals = found.row_duals[points + len(asked) :].reshape(-1, 6)
        pressing: list[bool] = np.any(np.abs(duals) > DUAL_TOLERANCE, axis=1).tolist()
        pressed = {part.site for part, presses in zip(placements, pressing, strict=True) if presses}
        wrenches: dict[str, tuple[Array, ...]] = {}
        stops: list[Stop] = []
        for number, (part, each) in enumerate(zip(placements, duals, strict=True)):
            if part.site in pressed:  # most are in nobody's way
                wrenches[part.site] = (*wrenches.get(part.site, ()), part.rows.T @ each)
                stops += _stops(part.site, each, number)
        base = found.row_duals[:points].copy()
        constant = float(base.sum()) * self._settling_mm + max(float(found.column_duals[_REACH]), 0.0)
        base[asked] += found.row_duals[points : points + len(asked)]
        twist = found.columns[:6].copy()
        twist[:3] /= LENGTH_MM
        return Reach(demand, float(found.columns[_REACH]), twist, _sorted(stops), wrenches, constant, base)

    def range_of(self, placements: Sequence[Placement], row: Array) -> tuple[float, float]:
        """Least and largest value of a linear function of the scaled twist within all limits (and within FREE)."""
        return self.ranges_of(placements, [row])[0]

    def ranges_of(self, placements: Sequence[Placement], rows: Iterable[Array]) -> list[tuple[float, float]]:
        """The range of each of several functions."""
        # A range of what nothing limits would have no end.
        self._limit(placements, (), _NOT_FAR)
        costs = [np.append(row, 0.0) for row in rows]
        return [(-self._maximise(-cost).objective, self._maximise(cost).objective) for cost in costs]

    def _limit(self, placements: Sequence[Placement], asked: Sequence[str], columns: Bounds) -> None:
        """Load the rows of these placements, with the points of the base that are asked to sink."""
        points, sinks_mm = len(_POINTS), self._settling_mm
        wanted = self._sinking[[_POINTS.index(name) for name in asked]]
        twists = np.concatenate([self._sinking, wanted, *(part.rows for part in placements)])
        low = np.concatenate([[-INFINITE] * points, [0.0] * len(asked), *(part.least for part in placements)])
        high = np.concatenate([[sinks_mm] * points, [INFINITE] * len(asked), *(part.most for part in placements)])
        low[low <= -FREE], high[high >= FREE] = -INFINITE, INFINITE
        rows = np.zeros((len(twists), 7))
        rows[:, :_REACH] = twists
        rows[points : points + len(asked), _REACH] = -sinks_mm
        self._lp.load(rows, (low, high), columns)

    def _maximise(self, cost: Array) -> Solution:
        found = self._lp.maximise(cost)
        if found.ending is not Ending.OPTIMAL:
            raise InternalFault(f"movement LP ended {found.ending.value}")
        return found


def meets(reach: float, share: float) -> bool:
    """True where a reach counts as the share: no last bit decides."""
    return reach >= share - REACH_TOLERANCE


def sinking_row(at: Vector, out: Vector) -> Array:
    """Row that gives how deep a point of the base sinks, mm, from the scaled twist."""
    (x, y, z), (along_x, along_y, along_z) = at.tolist(), out.tolist()
    turns = (z * along_y - y * along_z, x * along_z - z * along_x, y * along_x - x * along_y)
    return np.array([turn / LENGTH_MM for turn in turns] + [-along_x, -along_y, -along_z])


def _stops(site: str, duals: Array, part: int) -> list[Stop]:
    return [
        Stop(site, component, 1 if dual > 0 else -1, abs(float(dual)), part)
        for component, dual in zip(COMPONENTS, duals, strict=True)
        if abs(dual) > DUAL_TOLERANCE
    ]


def _sorted(stops: list[Stop]) -> tuple[Stop, ...]:
    return tuple(
        sorted(stops, key=lambda stop: (-round(stop.gain, 9), stop.site, stop.component, stop.sign, stop.part))
    )
