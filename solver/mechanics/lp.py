"""A small linear programme on HiGHS, passed whole: rows of a few numbers are sooner passed than changed.

HiGHS rather than GLOP: on 1,200 movement problems GLOP ended 157 times without an answer (free rows, boxes of two
hundredths of a millimetre), HiGHS never, in less time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

Bounds: TypeAlias = tuple[Array, Array]
"""Least and most of each row or column."""

INFINITE = float("inf")

_Options: TypeAlias = Mapping[str, bool | int | str]

_DUAL, _PRIMAL = 1, 4
_OPTIONS: _Options = {
    "output_flag": False,
    "threads": 1,
    "presolve": "off",
    "solver": "simplex",
    "simplex_strategy": _DUAL,
}
_OTHER_WAYS: tuple[_Options, ...] = ({"simplex_strategy": _PRIMAL}, {"presolve": "on"})
"""For what the dual simplex leaves undecided: few do, and not for the same reasons as the others."""


class Ending(Enum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    UNBOUNDED = "unbounded"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True, eq=False)
class Solution:
    """Values where `ending` is OPTIMAL. A dual is what the objective gains per unit of the bound that is met."""

    ending: Ending
    objective: float
    columns: Array
    row_duals: Array
    column_duals: Array


class LinearProgram:
    """Maximise cost @ x for row bounds and column bounds; what is loaded stays until something else is."""

    def __init__(self) -> None:
        import highspy  # noqa: PLC0415 - loaded only where something is solved

        # The plain binding: the class over it announces itself on stdout when it is made.
        self._highs: Any = highspy._core._Highs()
        ended = highspy.HighsModelStatus
        self._endings = {
            ended.kOptimal: Ending.OPTIMAL,
            ended.kInfeasible: Ending.INFEASIBLE,
            ended.kUnbounded: Ending.UNBOUNDED,
        }
        self._kind = int(highspy.MatrixFormat.kRowwise), int(highspy.ObjSense.kMaximize)
        self._set(_OPTIONS)

    def load(self, rows: Array, between: Bounds, columns: Bounds) -> None:
        """Replace the programme: between[0] <= rows @ x <= between[1] and columns[0] <= x <= columns[1]."""
        many, count = rows.shape
        starts, index, no_cost, continuous = _layout(many, count)
        size = (count, many, many * count)
        self._highs.passModel(*size, *self._kind, 0.0, no_cost, *columns, *between, starts, index, rows, continuous)

    def maximise(self, cost: Array) -> Solution:
        """The largest cost @ x."""
        self._highs.changeColsCost(len(cost), np.arange(len(cost), dtype=np.int32), cost)
        ending = self._run()
        if ending is Ending.UNDECIDED:
            ending = self._otherwise()
        found = self._highs.getSolution()
        return Solution(
            ending,
            float(self._highs.getObjectiveValue()),
            np.array(found.col_value),
            np.array(found.row_dual),
            np.array(found.col_dual),
        )

    def _otherwise(self) -> Ending:
        """The ending from scratch, once more and then in other ways until one decides it."""
        ending = Ending.UNDECIDED
        for way in ({}, *_OTHER_WAYS):
            if ending is Ending.UNDECIDED:
                self._set({**_OPTIONS, **way})
                self._highs.clearSolver()
                ending = self._run()
        self._set(_OPTIONS)
        return ending

    def _set(self, options: _Options) -> None:
        for option, value in options.items():
            self._highs.setOptionValue(option, value)

    def _run(self) -> Ending:
        self._highs.run()
        return self._endings.get(self._highs.getModelStatus(), Ending.UNDECIDED)


@lru_cache(maxsize=256)  # few shapes occur
def _layout(rows: int, columns: int) -> tuple[NDArray[np.int32], NDArray[np.int32], Array, NDArray[np.int32]]:
    """What HiGHS asks of a full matrix, the same for all of its shape: where rows start, columns, no cost, kinds."""
    index = np.tile(np.arange(columns, dtype=np.int32), rows)
    starts = np.arange(0, rows * columns, columns, dtype=np.int32)
    return starts, index, np.zeros(columns), np.zeros(columns, dtype=np.int32)
