"""Does a mix bind? How far the base may sink under a demand, by one linear programme each.

Small displacements, rigid denture, rigid bar. The denture moves by a twist (w, t): its point p goes t + w x p. An
attachment boxes the six local components of the motion at its place; the mucosa lets no point of the base sink
deeper than its settling. `reach` is the largest fraction of a demand that some twist allows. Formulas:
docs/mechanics.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from solver.case import DemandName
from solver.faults import InternalFault
from solver.layout import Base, Vector
from solver.lp import INFINITE, Ending, LinearProgram, Solution
from solver.placement import COMPONENTS, FREE, LENGTH_MM, Array, Component, Placement

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
    """What stops a demand: a component of an attachment at its limit. `gain` is reach won per mm of more freedom."""

    site: str
    component: Component
    sign: int
    gain: float


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """Answer to one demand.

    `twist` (6,) is the motion (w in rad, t in mm) that reaches it. `wrenches` are duals on scaled twists, one (6,)
    for each part of a site that has any: with `constant` they bound the reach of every mix (see `worth`).
    """

    demand: DemandName
    reach: float
    twist: Array
    stops: tuple[Stop, ...]
    wrenches: Mapping[str, tuple[Array, ...]]
    constant: float


_POINTS = ("front", "left", "right")
_REACH = 6
_REACH_ONLY = np.eye(7)[_REACH]


class MovementModel:
    """One LP of seven unknowns, kept for a case; rows of a placement are added once and then only bounded.

    Unknowns: LENGTH_MM * w (3), t (3), reach. Rows: for each point of the base how deep it sinks, and how deep less
    the reach times its settling; then six for each placement. Nothing in it knows of candidates or cost.
    """

    def __init__(self, base: Base, out: Vector, settling_mm: float) -> None:
        self._lp = LinearProgram([-INFINITE] * 6 + [0.0], [INFINITE] * 6 + [1.0])
        self._settling_mm = settling_mm
        self._first_row: dict[tuple[str, tuple[float, ...]], int] = {}
        for name in _POINTS:
            sinking = sinking_row(getattr(base, name), out)
            self._lp.add_row([*sinking, 0.0])
            self._lp.add_row([*sinking, -settling_mm])

    def reach(self, placements: Sequence[Placement], demand: DemandName) -> Reach:
        """Largest fraction of `demand` that the placements together allow."""
        rows = self._bound(placements, demand)
        found = self._maximise(_REACH_ONLY)
        duals = [found.row_duals[row : row + 6] for row in rows]
        parts = list(zip(placements, duals, strict=True))
        pressed = {part.site for part, each in parts if np.abs(each).max() > DUAL_TOLERANCE}
        wrenches: dict[str, tuple[Array, ...]] = {}
        stops: list[Stop] = []
        for part, each in parts:
            if part.site in pressed:  # most are in nobody's way
                wrenches[part.site] = (*wrenches.get(part.site, ()), part.rows.T @ each)
                stops += _stops(part.site, each)
        sinks = found.row_duals[0 : 2 * len(_POINTS) : 2]
        constant = float(sinks.sum()) * self._settling_mm + max(float(found.column_duals[_REACH]), 0.0)
        twist = found.columns[:6].copy()
        twist[:3] /= LENGTH_MM
        return Reach(demand, float(found.columns[_REACH]), twist, _sorted(stops), wrenches, constant)

    def range_of(self, placements: Sequence[Placement], row: Array) -> tuple[float, float]:
        """Least and largest value of a linear function of the scaled twist within all limits (and within FREE)."""
        self._bound(placements, None)
        # A range of what nothing limits would have no end.
        self._lp.bound_columns([-FREE] * 6 + [0.0], [FREE] * 6 + [1.0])
        cost = np.append(row, 0.0)
        span = -self._maximise(-cost).objective, self._maximise(cost).objective
        self._lp.bound_columns([-INFINITE] * 6 + [0.0], [INFINITE] * 6 + [1.0])
        return span

    def _bound(self, placements: Sequence[Placement], demand: DemandName | None) -> list[int]:
        """Bound the rows of these placements and this demand, free all others; the first row of each placement."""
        for placement in placements:
            if placement.place not in self._first_row:
                self._first_row[placement.place] = self._lp.rows
                for row in placement.rows:
                    self._lp.add_row([*row, 0.0])
        low, high = np.full(self._lp.rows, -INFINITE), np.full(self._lp.rows, INFINITE)
        high[0 : 2 * len(_POINTS) : 2] = self._settling_mm
        for name in ASKED[demand] if demand else ():
            low[2 * _POINTS.index(name) + 1] = 0.0
        rows = [self._first_row[placement.place] for placement in placements]
        for placement, row in zip(placements, rows, strict=True):
            low[row : row + 6], high[row : row + 6] = placement.least, placement.most
        low[low <= -FREE], high[high >= FREE] = -INFINITE, INFINITE
        self._lp.bound_rows(low, high)
        return rows

    def _maximise(self, cost: Array) -> Solution:
        found = self._lp.maximise(cost)
        if found.ending is not Ending.OPTIMAL:
            raise InternalFault(f"movement LP ended {found.ending.value}")
        return found


def sinking_row(at: Vector, out: Vector) -> Array:
    """Row that gives how deep a point of the base sinks, mm, from the scaled twist."""
    (x, y, z), (along_x, along_y, along_z) = at.tolist(), out.tolist()
    turns = (z * along_y - y * along_z, x * along_z - z * along_x, y * along_x - x * along_y)
    return np.array([turn / LENGTH_MM for turn in turns] + [-along_x, -along_y, -along_z])


def _stops(site: str, duals: Array) -> list[Stop]:
    return [
        Stop(site, component, 1 if dual > 0 else -1, abs(float(dual)))
        for component, dual in zip(COMPONENTS, duals, strict=True)
        if abs(dual) > DUAL_TOLERANCE
    ]


def _sorted(stops: list[Stop]) -> tuple[Stop, ...]:
    return tuple(sorted(stops, key=lambda stop: (-round(stop.gain, 9), stop.site, stop.component, stop.sign)))
