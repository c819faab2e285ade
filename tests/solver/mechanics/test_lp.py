"""Linear programmes on HiGHS give the optimum that scipy's `linprog` gives by the interior points, and always one."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog

from solver.mechanics.lp import INFINITE, Array, Bounds, Ending, LinearProgram

# Least, seven factors, most of each row, of a denture on a ball on a short bar: undecided by dual simplex alone.
_LEFT_UNDECIDED = """
    -inf 2.8 0 0 0 0 1 0 0.2
    -inf 0.4 -2.4 0 0 0 1 0 0.2
    -inf 0.5 2.4 0 0 0 1 0 0.2
    0 0.5 2.4 0 0 0 1 -0.2 inf
    -inf 0.32765800449778676 0.15614501576563483 -2.1080310235569
        0.8938549682575936 -0.4354802951620102 0.10667805888196895 0 inf
    -0.02 0.25666019546599944 -0.125043168799239 8.157002160773801e-05
        -0.4379795754789456 -0.8989849228231154 0 0 0.02
    -0.5 -1.8817842666341658 0.950581632469403 -0.22617127816763283
        0.09590196653092661 -0.046722810942042725 -0.9942936144586142 0 0.02
    -0.017453292519943295 0.8938549682575936 -0.4354802951620102 0.10667805888196895 0 0 0 0 0.017453292519943295
    -1.3962634015954636 -0.4379795754789456 -0.8989849228231154 0 0 0 0 0 1.3962634015954636
    -0.017453292519943295 0.09590196653092661 -0.046722810942042725 -0.9942936144586142 0 0 0 0 0.017453292519943295
"""
_REACH_ONLY = np.array([0.0] * 6 + [1.0])
_ANYWHERE: Bounds = np.array([-INFINITE] * 6 + [0.0]), np.array([INFINITE] * 6 + [1.0])


def by_interior_points(cost: Array, rows: Array, between: Bounds, columns: Bounds) -> float:
    """The largest cost @ x, the other way: scipy's linprog."""
    low, high = between
    bounded = [(sign * rows[i], sign * end[i]) for sign, end in ((-1, low), (1, high)) for i in range(len(rows))]
    kept = [(row, end) for row, end in bounded if np.isfinite(end)]
    found = linprog(
        -cost,
        A_ub=np.array([row for row, _ in kept]),
        b_ub=np.array([end for _, end in kept]),
        bounds=np.column_stack(columns),
        method="highs-ipm",
    )
    assert found.status == 0
    return -float(found.fun)


def test_what_the_dual_simplex_leaves_undecided_is_decided() -> None:
    low, rows, high = np.split(np.array(_LEFT_UNDECIDED.split(), dtype=float).reshape(-1, 9), [1, 8], axis=1)
    between = low[:, 0], high[:, 0]
    programme = LinearProgram()
    programme.load(rows, between, _ANYWHERE)
    found = programme.maximise(_REACH_ONLY)
    assert found.ending is Ending.OPTIMAL
    assert by_interior_points(_REACH_ONLY, rows, between, _ANYWHERE) == pytest.approx(found.objective, abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_optimum_is_that_of_another_method(seed: int) -> None:
    """Several costs on one programme, and several programmes one after the other in one object."""
    random = np.random.default_rng(seed)
    programme = LinearProgram()
    for many in (3, 8):
        rows = random.normal(size=(many, 4))
        between = -random.uniform(0.0, 1.0, many), random.uniform(0.0, 1.0, many)
        columns = np.full(4, -1.0), np.full(4, 1.0)
        programme.load(rows, between, columns)
        for cost in random.normal(size=(3, 4)):
            found = programme.maximise(cost)
            assert found.ending is Ending.OPTIMAL
            assert by_interior_points(cost, rows, between, columns) == pytest.approx(found.objective, abs=1e-6)
            assert np.all(rows @ found.columns <= between[1] + 1e-6)


def test_how_it_ends_is_told_apart() -> None:
    programme = LinearProgram()
    one = np.array([[1.0]])
    free = np.array([-INFINITE]), np.array([INFINITE])
    programme.load(one, free, free)
    assert programme.maximise(np.array([1.0])).ending is Ending.UNBOUNDED
    programme.load(one, (np.array([2.0]), np.array([3.0])), (np.array([0.0]), np.array([1.0])))
    assert programme.maximise(np.array([1.0])).ending is Ending.INFEASIBLE


def test_nothing_is_said_while_solving(capfd: pytest.CaptureFixture[str]) -> None:
    """What a command prints is the answer alone."""
    programme = LinearProgram()
    programme.load(np.eye(2), (np.zeros(2), np.ones(2)), (np.zeros(2), np.ones(2)))

    assert pytest.approx(3.0) == programme.maximise(np.array([1.0, 2.0])).objective
    assert ("", "") == capfd.readouterr()
