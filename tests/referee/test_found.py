"""What the referee found while it was made, each on the world that showed it."""

from __future__ import annotations

import pytest

from solver.explain.waivers import Footing, Give
from solver.explore.agreement import Accord, agreement
from tests.referee.worlds import answered, world


@pytest.mark.parametrize("seed", [5, 8])
def test_the_mix_that_balances_overshoots_no_farther_than_its_equal(seed: int) -> None:
    """The peel of one stud on the other side took 92 per cent too much, not 84."""
    assert Accord.AGREES is agreement(answered("firm", seed)).accord


@pytest.mark.parametrize(("stratum", "seed"), [("symmetric", 4), ("whole bar", 4), ("tiers", 3)])
def test_what_would_have_to_give_starts_from_the_plan(stratum: str, seed: int) -> None:
    """Not from a cheaper mix that is unlike on both sides, or cuts a sound bar, and is not worth it."""
    given = Give(*world(stratum, seed))
    assert list(given.steps())

    plan = answered(stratum, seed).best
    assert Footing.FITS is given.footing
    assert plan is not None
    assert given.best is not None
    assert plan.keys == given.best.keys
    assert all(way.best.cost.high < plan.cost.high for way in given.ways)
    assert all(set(way.best.unpreferred) <= set(plan.unpreferred) for way in given.ways)
