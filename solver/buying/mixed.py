"""A large order looked at by the branch and bound of HiGHS, which is better than CP-SAT at many packs of many parts.

It works in floating point: its orders are only taken once CP-SAT has put them together exactly, and its bound counts
less a margin for rounding.
"""

from __future__ import annotations

import math
import threading
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

MARGIN = 1e-6
"""Share of a bound that rounding may have added: the feasibility tolerance of the solver."""


class Row(NamedTuple):
    """`low` <= sum of coefficient x variable <= `high`."""

    low: float
    high: float
    terms: tuple[tuple[int, int], ...]


class Looked(NamedTuple):
    """Values of all variables (None where none were found) and what the objective cannot go below."""

    values: tuple[float, ...] | None
    bound: int


def look(proto: Any, start: Sequence[int] | None, time_limit_s: float, *, whole: bool = True) -> Looked:
    """Minimise a CP-SAT model of plain linear and Boolean constraints, from the values of an order known before.

    Without `whole` its linear relaxation.
    """
    import highspy  # noqa: PLC0415 - only for large orders
    import numpy as np  # noqa: PLC0415

    highs = highspy._core._Highs()  # the class over it announces itself on stdout
    options = {"output_flag": False, "threads": 1, "random_seed": 1, "time_limit": time_limit_s, "mip_rel_gap": 0.0}
    for name, value in options.items():
        highs.setOptionValue(name, value)
    for variable in proto.variables:
        low, high = _ends(variable.domain)
        highs.addVar(low, high)
        if whole:
            highs.changeColIntegrality(highs.getNumCol() - 1, highspy.HighsVarType.kInteger)
    for index, cost in zip(proto.objective.vars, proto.objective.coeffs, strict=True):
        highs.changeColCost(index, cost)
    for row in _rows(proto, highspy.kHighsInf):
        indices = np.array([index for index, _ in row.terms], dtype=np.int32)
        coefficients = np.array([coefficient for _, coefficient in row.terms], dtype=float)
        highs.addRow(row.low, row.high, len(row.terms), indices, coefficients)
    if start is not None:
        known = highspy.HighsSolution()
        known.col_value = [float(value) for value in start]
        highs.setSolution(known)
    _run(highs)
    info = highs.getInfo()
    solved = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    proved = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    bound = info.mip_dual_bound if whole else info.objective_function_value if proved else -math.inf
    values = tuple(highs.getSolution().col_value) if solved else None
    return Looked(values, math.ceil(bound - MARGIN * abs(bound)) if math.isfinite(bound) else 0)


def _run(highs: Any) -> None:
    """Run in a thread of its own, so that Ctrl-C is heard here; what it was about to find is dropped."""
    runner = threading.Thread(target=highs.run, daemon=True)
    runner.start()
    while runner.is_alive():
        runner.join(0.05)


def _rows(proto: Any, infinity: float) -> Iterator[Row]:
    """Every constraint of the model as a row."""
    for constraint in proto.constraints:
        if constraint.has_linear():
            low, high = (_end(value, infinity) for value in _ends(constraint.linear.domain))
            terms = zip(constraint.linear.vars, constraint.linear.coeffs, strict=True)
            yield _row(low, high, terms)
        elif constraint.has_exactly_one():
            yield _row(1, 1, ((literal, 1) for literal in constraint.exactly_one.literals))
        elif constraint.has_at_most_one():
            yield _row(-infinity, 1, ((literal, 1) for literal in constraint.at_most_one.literals))
        elif constraint.has_bool_or():
            yield _row(1, infinity, ((literal, 1) for literal in constraint.bool_or.literals))
        else:
            raise TypeError(f"no row is known for {constraint}")


def _row(low: float, high: float, terms: Iterable[tuple[int, int]]) -> Row:
    """One row; the literal -i - 1 stands for 1 - variable i."""
    found: Counter[int] = Counter()
    for literal, coefficient in terms:
        if literal >= 0:
            found[literal] += coefficient
        else:
            found[-literal - 1] -= coefficient
            low, high = low - coefficient, high - coefficient
    return Row(low, high, tuple(found.items()))


def _ends(domain: Iterable[int]) -> tuple[int, int]:
    """First and last value; the container itself does not count from its end."""
    values = list(domain)
    return values[0], values[-1]


def _end(value: int, infinity: float) -> float:
    return math.copysign(infinity, value) if abs(value) >= 2**62 else value
