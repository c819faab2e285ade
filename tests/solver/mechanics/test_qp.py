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
    coupled: int = 0

    def least(self) -> Array:
        programme = QuadraticProgram(self.cost, self.rows, self.limited, self.coupled)
        return programme.least(self.products, self.equals, self.most)

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
    products, coupled = np.diag(10 ** dice.uniform(-4, 1, count)), int(dice.integers(0, count + 1))
    if draw(st.booleans()):  # a bar that gives under what stands on it
        loads = dice.normal(0, 1, (int(dice.integers(1, 7)), count - coupled))
        products[coupled:, coupled:] += 10 ** dice.uniform(-3, 1) * loads.T @ loads
    return Programme(cost, matrix, limited, products, matrix @ borne, most, coupled)


@given(programmes())
def test_the_conditions_of_an_optimum_hold(asked: Programme) -> None:
    """Karush, Kuhn and Tucker: one multiplier a row that no variable at a limit or between them speaks against."""
    x = asked.least()
    high = np.full(len(x), np.inf)
    high[asked.limited] = asked.most
    slope, scale = asked.products @ x + asked.cost, 1 + np.abs(asked.equals).max()

    assert np.allclose(asked.rows @ x, asked.equals, atol=1e-7 * scale)
    assert ((x >= 0) & (x <= high)).all()
    between = (x > 0) & (x < high)
    multipliers = np.linalg.lstsq(asked.rows[:, between].T, slope[between], rcond=None)[0]
    left = slope - multipliers @ asked.rows
    assert np.allclose(left[between], 0, atol=1e-6 * scale)
    if np.linalg.matrix_rank(asked.rows[:, between]) == len(asked.rows):  # else the multipliers are not the only ones
        assert (left[(x == 0) & (high > 0)] >= -1e-6 * scale).all()
        assert (left[(x == high) & (high > 0)] <= 1e-6 * scale).all()


@given(programmes())
def test_clarabel_finds_nothing_that_costs_less(asked: Programme) -> None:
    identity = np.eye(len(asked.cost))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    solver = clarabel.DefaultSolver(
        sparse.csc_matrix(np.triu(asked.products)),
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

    with pytest.raises(InternalFault, match="has no solution"):
        held.least()


def test_a_beam_that_gives_under_both_shares_by_what_it_gives() -> None:
    """Two stops of softness 1 on a beam that gives 1 under their sum, beside a spring of softness 1, bear 6.

    With f each on the beam and s on the spring: 2 f + s = 6 and f + 2 f = s, so f = 1.2 and s = 3.6.
    """
    none = np.array([])
    products = np.eye(3)
    products[1:, 1:] += 1.0
    held = Programme(np.zeros(3), np.ones((1, 3)), none.astype(int), products, np.array([6.0]), none, 1)

    assert pytest.approx([3.6, 1.2, 1.2]) == held.least()
