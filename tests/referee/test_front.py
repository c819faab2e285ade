"""The front is the one that all mixes together have (python-constraint and scipy's linprog)."""

from __future__ import annotations

import pytest

from solver.front import front, knee_of
from tests.referee.exhaustive import cost_hold_front
from tests.referee.random_case import random_world

SEEDS = range(60)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_front_is_that_of_all_mixes(seed: int) -> None:
    """Every point is undominated, and none is missing."""
    world = random_world(seed)

    found = front(world.case, world.catalogue)

    assert found.complete
    assert cost_hold_front(world) == [(p.first, round(1000 * p.second)) for p in found.points]


def test_the_random_fronts_are_not_all_alike() -> None:
    """Fronts of one point would prove little."""
    fronts = [front(w.case, w.catalogue) for w in map(random_world, SEEDS)]

    assert sum(len(found.points) >= 3 for found in fronts) >= 5
    assert sum(found.knee is not None for found in fronts) >= 3
    assert all(found.knee == knee_of(found.points) for found in fronts)
