"""The front is the one that all mixes together have (python-constraint and scipy's linprog)."""

from __future__ import annotations

import pytest

from solver.assessment import Status
from solver.choose import Options
from solver.front import PAIRS, front, knee_of
from solver.plan import plan
from solver.problem import Least
from solver.second_opinion.decide import cost_hold_front, cost_years_front
from tests.referee.random_case import random_world, with_service

SEEDS = range(60)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_front_is_that_of_all_mixes(seed: int) -> None:
    """Every point is undominated, and none is missing."""
    world = random_world(seed)

    found = front(world.case, world.catalogue)

    assert found.complete
    assert cost_hold_front(world) == [(p.first, round(1000 * p.second)) for p in found.points]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_front_of_cost_now_and_over_the_years_is_that_of_all_mixes(seed: int) -> None:
    """Its ends are the plan of least cost now and the plan of least cost over the years."""
    world = with_service(random_world(seed), seed)

    found = front(world.case, world.catalogue, PAIRS["cost,years"])
    every = cost_years_front(world)

    assert found.complete
    assert every == [(p.first, p.second) for p in found.points]
    ends: tuple[tuple[Least, int], ...] = (("now", 0), ("years", 1))
    for least, axis in ends:
        best = plan(world.case, world.catalogue, Options(least=least))
        kept = best.best if best.status in (Status.FITS, Status.FITS_IF) else None
        assert min((pair[axis] for pair in every), default=None) == (
            (kept.cost, kept.aftercare.cost)[axis].high if kept else None
        )


def test_cost_now_and_over_the_years_do_not_always_agree() -> None:
    """Else the trade-off would be none."""
    worlds = (with_service(random_world(seed), seed) for seed in SEEDS)

    fronts = [front(world.case, world.catalogue, PAIRS["cost,years"]) for world in worlds]

    assert sum(len(found.points) >= 2 for found in fronts) >= 5


def test_the_random_fronts_are_not_all_alike() -> None:
    """Fronts of one point would prove little."""
    fronts = [front(w.case, w.catalogue) for w in map(random_world, SEEDS)]

    assert sum(len(found.points) >= 3 for found in fronts) >= 5
    assert sum(found.knee is not None for found in fronts) >= 3
    assert all(found.knee == knee_of(found.points) for found in fronts)
