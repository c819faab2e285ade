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
from typing import NamedTuple

import numpy as np

from solver.mechanics.lp import INFINITE, Ending, LinearProgram


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
    """The solver ended without a verdict; the status is its own word."""

    def __init__(self, status: str) -> None:
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
    """The linear program of fixed parts; their bounds and the load may change."""

    def __init__(self, columns: Sequence[Sequence[float]], rows: int) -> None:
        """Build the program: `columns[j]` is what a unit force of part j adds to each of `rows` equations."""
        self._program = LinearProgram()
        self._rows = np.zeros((rows, 1 + len(columns)))
        for part, column in enumerate(columns, 1):
            self._rows[:, part] = column
        self._balance = np.zeros(rows)
        self._cost = np.eye(1, 1 + len(columns))[0]

    def solve(self, load: Sequence[float], bounds: Sequence[Bound]) -> LimitState:
        """Return the largest multiple of `load` that parts within `bounds` balance.

        Raises:
            UnlimitedLoad: where there is no largest multiple.
            NoBalance: where no multiple can be balanced.
            LimitUndecided: where the solver comes to no verdict.
        """
        self._rows[:, 0] = -np.asarray(load, dtype=float)
        lows, highs = np.array([Bound(-INFINITE, INFINITE), *bounds]).T
        self._program.load(self._rows, (self._balance, self._balance), (lows, highs))
        found = self._program.maximise(self._cost)
        if found.ending is Ending.UNBOUNDED:
            raise UnlimitedLoad
        if found.ending is Ending.INFEASIBLE:
            raise NoBalance
        if found.ending is not Ending.OPTIMAL:
            raise LimitUndecided(found.ending.value)
        return LimitState(
            float(found.columns[0]), tuple(found.columns[1:].tolist()), tuple((-found.row_duals).tolist())
        )
