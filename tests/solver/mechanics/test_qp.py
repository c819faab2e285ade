"""The small quadratic programme against the conditions of an optimum, and against Clarabel."""

from __future__ import annotations

from typing import NamedTuple

import clarabel
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import sparse

from solver.errors import InternalFault
from solver.mechanics.qp import QuadraticProgram

Array = NDArray[np.float64]


class Programme(NamedTuple):
    cost: Array
    rows: Array
    limited: NDArray[np.intp]
    products: Array
    equals: Array
    most: Array

    def least(self) -> Array:
        return QuadraticProgram(self.cost, self.rows, self.limited).least(self.products, self.equals, self.most)

    def value(self, x: Array) -> float:
        return float(x @ self.products @ x / 2 + self.cost @ x)


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    """Springs and stops of very different stiffness, some of which hold only so much; what is asked can be borne."""
    dice = np.random.default_rng(draw(st.integers(0, 2**32)))
    rows, count = draw(st.integers(1, 6)), draw(st.integers(6, 60))
    cost = np.where(dice.random(count) < 0.6, 0.0, dice.normal(0, 1, count))
    limited = np.flatnonzero(dice.random(count) < 0.3)
    most = np.where(dice.random(len(limited)) < 0.2, 0.0, dice.uniform(0, 20, len(limited)))
    borne = dice.uniform(0, 30, count) * (dice.random(count) < 0.5)
    borne[limited] = np.minimum(borne[limited], most)
    matrix = dice.normal(0, 1, (rows, count))
    coupled = dice.normal(0, 1, (count, draw(st.integers(0, 6)))) * (np.arange(count) > count // 2)[:, None]
    products = np.diag(10 ** dice.uniform(-4, 1, count)) + coupled @ coupled.T
    return Programme(cost, matrix, limited, products, matrix @ borne, most)


@given(programmes())
def test_the_conditions_of_an_optimum_hold(asked: Programme) -> None:
    """Karush, Kuhn and Tucker: one multiplier a row that no variable at a limit or between them speaks against."""
    x = asked.least()
    high = np.full(len(x), np.inf)
    high[asked.limited] = asked.most
    slope, scale = asked.products @ x + asked.cost, 1 + np.abs(asked.equals).max()

    assert np.allclose(asked.rows @ x, asked.equals, atol=1e-7 * scale)
    assert ((x >= 0) & (x <= high)).all()
    within = 1e-9 * scale
    between = (x > within) & (x < high - within)
    multipliers = np.linalg.lstsq(asked.rows[:, between].T, slope[between], rcond=None)[0]
    left = slope - multipliers @ asked.rows
    assert np.allclose(left[between], 0, atol=1e-6 * scale)
    if np.linalg.matrix_rank(asked.rows[:, between]) == len(asked.rows):  # else the multipliers are not the only ones
        assert (left[(x <= within) & (high > within)] >= -1e-6 * scale).all()
        assert (left[(x >= high - within) & (high > within)] <= 1e-6 * scale).all()


@given(programmes())
def test_clarabel_finds_nothing_that_costs_less(asked: Programme) -> None:
    identity = np.eye(len(asked.cost))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    solver = clarabel.DefaultSolver(
        sparse.triu(sparse.csc_matrix(asked.products), format="csc"),
        asked.cost,
        sparse.csc_matrix(np.vstack([asked.rows, -identity, identity[asked.limited]])),
        np.concatenate([asked.equals, np.zeros(len(asked.cost)), asked.most]),
        [clarabel.ZeroConeT(len(asked.rows)), clarabel.NonnegativeConeT(len(asked.cost) + len(asked.limited))],
        settings,
    )
    theirs = np.array(solver.solve().x)

    assert asked.value(asked.least()) <= asked.value(theirs) + 1e-6 * (1 + abs(asked.value(theirs)))


def test_one_spring_bears_what_is_asked() -> None:
    one = Programme(np.zeros(1), np.ones((1, 1)), np.array([], int), np.eye(1), np.array([5.0]), np.array([]))

    assert pytest.approx([5]) == one.least()


def test_two_springs_share_by_their_stiffness_until_one_holds_no_more() -> None:
    """Softness 1 and 2 bear 9 as 6 and 3; where the first holds 4 at most, the second bears 5."""
    free = Programme(
        np.zeros(2), np.ones((1, 2)), np.array([0]), np.diag([1.0, 2.0]), np.array([9.0]), np.array([99.0])
    )

    assert pytest.approx([6, 3]) == free.least()
    assert pytest.approx([4, 5]) == free._replace(most=np.array([4.0])).least()


def test_a_spring_behind_a_gap_bears_nothing_until_it_is_closed() -> None:
    """The first gives 1 per N; the gap of 3 is closed by 3 N, and from there both bear alike."""
    pair = Programme(
        np.array([0.0, 3.0]), np.ones((1, 2)), np.array([], int), np.eye(2), np.array([2.0]), np.array([])
    )

    assert pytest.approx([2, 0]) == pair.least()
    assert pytest.approx([4, 1]) == pair._replace(equals=np.array([5.0])).least()


@pytest.mark.parametrize("asked", [-1.0, 7.0], ids=["a pull", "more than all hold"])
def test_what_nothing_can_bear_is_told(asked: float) -> None:
    held = Programme(
        np.zeros(2), np.ones((1, 2)), np.array([0, 1]), np.eye(2), np.array([asked]), np.array([3.0, 3.0])
    )

    with pytest.raises(InternalFault, match="quadratic programme ended"):
        held.least()
