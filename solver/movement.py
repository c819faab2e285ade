"""Does a mix bind? How far the base may sink under a demand, by one linear programme each.

Small displacements, rigid denture, rigid bar. The denture moves by a twist (w, t): its point p goes t + w x p. An
attachment boxes the six local components of the motion at its place; the mucosa lets no point of the base sink
deeper than its settling. `reach` is the largest fraction of a demand that some twist allows. Formulas:
docs/mechanics.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

from solver.case import DemandName
from solver.faults import InternalFault
from solver.layout import Base, Vector
from solver.placement import COMPONENTS, FREE, LENGTH_MM, Array, Component, Placement

ASKED: Mapping[DemandName, tuple[str, ...]] = {
    "whole": ("front", "left", "right"),
    "front": ("front",),
    "left": ("left",),
    "right": ("right",),
}
"""Points of the base that a demand asks to sink by the settling of the mucosa."""

REACH_TOLERANCE = 1e-6
"""GLOP keeps its rows to about 1e-7 of a millimetre; a demand missed by less is met."""


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

    `twist` (6,) is the motion (w in rad, t in mm) that reaches it. `wrench` per site (6,) is the dual on scaled
    twists: with `constant` it bounds the reach of every mix (see `bound`).
    """

    demand: DemandName
    reach: float
    twist: Array
    stops: tuple[Stop, ...]
    wrench: Mapping[str, Array]
    constant: float


class MovementModel:
    """One LP of seven unknowns, kept for a case; rows of a placement are added once and then only bounded.

    Unknowns: LENGTH_MM * w (3), t (3), reach. Nothing in it knows of candidates or cost.
    """

    def __init__(self, base: Base, out: Vector, settling_mm: float) -> None:
        from ortools.linear_solver import pywraplp  # noqa: PLC0415 - a third of a second; only where needed

        self._lp = pywraplp.Solver.CreateSolver("GLOP")
        self._free = self._lp.infinity()
        self._twist = [self._lp.NumVar(-self._free, self._free, "") for _ in range(6)]
        self._reach = self._lp.NumVar(0.0, 1.0, "")
        self._settling_mm = settling_mm
        self._rows: dict[tuple[str, tuple[float, ...]], list[Any]] = {}
        self._asked: dict[str, Any] = {}
        self._sinks: list[Any] = []
        for name in ("front", "left", "right"):
            sinking = sinking_row(getattr(base, name), out)
            self._sinks.append(self._row(sinking, -self._free, settling_mm))
            asked = self._row(sinking, -self._free, self._free)
            asked.SetCoefficient(self._reach, -settling_mm)
            self._asked[name] = asked
        self._lp.Objective().SetMaximization()

    def reach(self, placements: Sequence[Placement], demand: DemandName) -> Reach:
        """Largest fraction of `demand` that the placements together allow."""
        self._ask(demand)
        self._objective({self._reach: 1.0})
        rows = self._bound(placements)
        self._solve()
        wrench: dict[str, Array] = {}
        stops: list[Stop] = []
        for placement, own in zip(placements, rows, strict=True):
            duals = np.array([row.dual_value() for row in own])
            if np.abs(duals).max() > REACH_TOLERANCE:
                wrench[placement.site] = wrench.get(placement.site, np.zeros(6)) + placement.rows.T @ duals
                stops += _stops(placement.site, duals)
        constant = sum(row.dual_value() for row in self._sinks) * self._settling_mm
        constant += max(self._reach.reduced_cost(), 0.0)
        twist = np.array([v.solution_value() for v in self._twist])
        twist[:3] /= LENGTH_MM
        return Reach(demand, self._reach.solution_value(), twist, _sorted(stops), wrench, constant)

    def range_of(self, placements: Sequence[Placement], row: Array) -> tuple[float, float]:
        """Least and largest value of a linear function of the scaled twist within all limits; infinite without."""
        self._ask(None)
        self._bound(placements)
        ends = []
        for sign in (-1.0, 1.0):
            self._objective({v: sign * c for v, c in zip(self._twist, row, strict=True)})
            ends.append(sign * self._farthest())
        return ends[0], ends[1]

    def _row(self, row: Array, least: float, most: float) -> Any:
        constraint = self._lp.Constraint(least, most)
        for variable, value in zip(self._twist, row, strict=True):
            constraint.SetCoefficient(variable, float(value))
        return constraint

    def _ask(self, demand: DemandName | None) -> None:
        asked = ASKED[demand] if demand else ()
        for name, row in self._asked.items():
            row.SetLb(0.0 if name in asked else -self._free)

    def _objective(self, terms: Mapping[Any, float]) -> None:
        objective = self._lp.Objective()
        objective.Clear()
        objective.SetMaximization()
        for variable, value in terms.items():
            objective.SetCoefficient(variable, float(value))

    def _bound(self, placements: Sequence[Placement]) -> list[list[Any]]:
        """Bound the rows of these placements and free all others."""
        wanted = {placement.place: placement for placement in placements}
        for place, rows in self._rows.items():
            if place not in wanted:
                for row in rows:
                    row.SetBounds(-self._free, self._free)
        for place, placement in wanted.items():
            if place not in self._rows:
                self._rows[place] = [self._row(row, -self._free, self._free) for row in placement.rows]
            for row, least, most in zip(self._rows[place], placement.least, placement.most, strict=True):
                row.SetBounds(least if least > -FREE else -self._free, most if most < FREE else self._free)
        return [self._rows[placement.place] for placement in placements]

    def _farthest(self) -> float:
        """The optimum, or infinity: rest is always allowed, so what GLOP's presolve calls infeasible is unbounded."""
        if self._lp.Solve() in (self._lp.INFEASIBLE, self._lp.UNBOUNDED):
            return inf
        return float(self._lp.Objective().Value())

    def _solve(self) -> float:
        status = self._lp.Solve()
        if status != self._lp.OPTIMAL:
            raise InternalFault(f"movement LP ended with status {status}")
        return float(self._lp.Objective().Value())


def sinking_row(at: Vector, out: Vector) -> Array:
    """Row that gives how deep a point of the base sinks, mm, from the scaled twist."""
    return np.concatenate([-np.cross(at, out) / LENGTH_MM, -out])


def _stops(site: str, duals: Array) -> list[Stop]:
    return [
        Stop(site, component, 1 if dual > 0 else -1, abs(float(dual)))
        for component, dual in zip(COMPONENTS, duals, strict=True)
        if abs(dual) > REACH_TOLERANCE
    ]


def _sorted(stops: list[Stop]) -> tuple[Stop, ...]:
    return tuple(sorted(stops, key=lambda stop: (-round(stop.gain, 9), stop.site, stop.component, stop.sign)))
