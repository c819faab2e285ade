"""Largest load that given strengths can balance: the static theorem of limit analysis as a linear program.

A load is safe if some set of forces balances it and none exceeds its strength (Dorn and Greenberg, Q Appl
Math 1957;15:155, citation read second-hand). Maximise s subject to  sum_j force_j * column_j = s * load  and
low_j <= force_j <= high_j. The dual is the way it gives: a motion that does unit work under the load.

The theorem takes the parts to hold on at constant force while they give. Parts that let go abruptly can fail
one after the other below the figure: read it as an upper one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple


class Bound(NamedTuple):
    """Least and greatest force of a part; infinite where nothing limits it."""

    low: float
    high: float


class UnlimitedLoad(ValueError):
    """Parts without a limit balance the load, however large."""

    def __str__(self) -> str:
        return "nothing limits the load: parts without a limit balance it"


class NoBalance(ValueError):
    """The bounds of the parts shut out all balance, with any load or none."""

    def __str__(self) -> str:
        return "no forces within the bounds balance any multiple of the load"


class LimitUndecided(RuntimeError):
    """The solver ended without a verdict; the status is its own number."""

    def __init__(self, status: int) -> None:
        self.status = status
        super().__init__(status)

    def __str__(self) -> str:
        return f"linear program not decided (solver status {self.status})"


@dataclass(frozen=True, slots=True)
class LimitState:
    """Largest load factor, the forces that balance it, and the motion (an entry per equation) of the dual."""

    factor: float
    forces: tuple[float, ...]
    motion: tuple[float, ...]


class LimitModel:
    """The linear program of fixed parts, kept between solves; only bounds and the load column change."""

    def __init__(self, columns: Sequence[Sequence[float]], rows: int) -> None:
        """Build the program: `columns[j]` is what a unit force of part j adds to each of `rows` equations."""
        # Loading the solver costs more than solving; who never asks for a hold should not wait for it.
        from ortools.linear_solver import pywraplp  # noqa: PLC0415

        self._solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self._status: Any = pywraplp.Solver
        infinity = self._solver.infinity()
        self._rows = [self._solver.Constraint(0.0, 0.0) for _ in range(rows)]
        self._factor = self._solver.NumVar(-infinity, infinity, "factor")
        self._forces = [self._solver.NumVar(0.0, 0.0, f"force_{j}") for j in range(len(columns))]
        for force, column in zip(self._forces, columns, strict=True):
            for row, entry in zip(self._rows, column, strict=True):
                row.SetCoefficient(force, float(entry))
        self._solver.Maximize(self._factor)

    def solve(self, load: Sequence[float], bounds: Sequence[Bound]) -> LimitState:
        """Return the largest multiple of `load` that parts within `bounds` balance.

        Raises:
            UnlimitedLoad: where there is no largest multiple.
            NoBalance: where no multiple can be balanced.
            LimitUndecided: where the solver comes to no verdict.
        """
        for row, entry in zip(self._rows, load, strict=True):
            row.SetCoefficient(self._factor, -float(entry))
        for force, bound in zip(self._forces, bounds, strict=True):
            force.SetBounds(bound.low, bound.high)
        status = self._solver.Solve()
        if status != self._status.OPTIMAL:
            raise self._failure(status)
        return LimitState(
            self._factor.solution_value(),
            tuple(force.solution_value() for force in self._forces),
            tuple(-row.dual_value() for row in self._rows),
        )

    def _failure(self, status: int) -> Exception:
        """Tell "no limit" from "no balance", which presolve calls by one name: solve again without an objective."""
        if status not in (self._status.INFEASIBLE, self._status.UNBOUNDED):
            return LimitUndecided(status)
        self._solver.Objective().Clear()
        status = self._solver.Solve()
        self._solver.Maximize(self._factor)
        if status == self._status.OPTIMAL:
            return UnlimitedLoad()
        return NoBalance() if status == self._status.INFEASIBLE else LimitUndecided(status)
