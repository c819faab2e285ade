"""Limit analysis: agreement with another solver, and the ways in which there is no largest load."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from solver.mechanics.limit_analysis import Bound, LimitModel, LimitUndecided, NoBalance, UnlimitedLoad

entry = st.integers(-5, 5)
column = st.tuples(entry, entry, entry)
strength = st.just(0.0) | st.floats(0.01, 20.0)
part = st.tuples(column, strength, strength)


@given(parts=st.lists(part, min_size=1, max_size=7), load=column.filter(any))
def test_agrees_with_scipy_and_with_its_own_dual(
    parts: list[tuple[tuple[int, int, int], float, float]], load: tuple[int, int, int]
) -> None:
    """Largest factor as by linprog (HiGHS); forces in balance; the motion works out to the factor."""
    columns = np.array([c for c, _, _ in parts], dtype=float)
    bounds = [Bound(-low, high) for _, low, high in parts]
    other = linprog(
        c=[-1.0] + [0.0] * len(parts),
        A_eq=np.column_stack((-np.array(load), columns.T)),
        b_eq=np.zeros(3),
        bounds=[(None, None), *bounds],
    )

    state = LimitModel(columns.tolist(), rows=3).solve(load, bounds)
    work = columns @ state.motion

    assert -other.fun == pytest.approx(state.factor, abs=1e-6)
    assert state.factor * np.array(load) == pytest.approx(columns.T @ state.forces, abs=1e-6)
    assert 1.0 == pytest.approx(np.dot(load, state.motion), abs=1e-6)
    assert state.factor == pytest.approx(
        sum(max(w * b.low, w * b.high) for w, b in zip(work, bounds, strict=True)), abs=1e-5
    )


def test_keeping_the_model_changes_nothing() -> None:
    """Solving again with other bounds and loads gives what a new model gives."""
    columns = [(1.0, 0.0), (0.0, 1.0), (1.0, 1.0)]
    kept = LimitModel(columns, rows=2)
    rounds = [((1.0, 2.0), 3.0), ((2.0, 1.0), 5.0), ((0.0, 1.0), 0.0), ((1.0, 2.0), 3.0)]

    again = [kept.solve(load, [Bound(0.0, high)] * 3).factor for load, high in rounds]
    anew = [LimitModel(columns, rows=2).solve(load, [Bound(0.0, high)] * 3).factor for load, high in rounds]

    assert anew == pytest.approx(again)


def test_parts_without_a_limit_are_told_from_parts_that_cannot_balance() -> None:
    """And the model can be asked again after either."""
    model = LimitModel([(1.0,)], rows=1)

    with pytest.raises(UnlimitedLoad, match="nothing limits the load"):
        model.solve((1.0,), [Bound(0.0, math.inf)])
    with pytest.raises(NoBalance, match="no forces within the bounds"):
        model.solve((0.0,), [Bound(1.0, 2.0)])
    assert 7.0 == pytest.approx(model.solve((1.0,), [Bound(0.0, 7.0)]).factor)


def test_a_solver_without_a_verdict_says_so() -> None:
    assert str(LimitUndecided("undecided")) == "linear program not decided (solver status undecided)"
