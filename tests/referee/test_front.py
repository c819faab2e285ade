"""The front is the one that all mixes together have (python-constraint and scipy's linprog)."""

from __future__ import annotations

from functools import cache

from solver.assess.assessment import Status
from solver.assess.problem import Least
from solver.audit.second_opinion.decide import cost_hold_front, cost_years_front
from solver.audit.second_opinion.world import World
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explore.tradeoff import PAIRS, Front, front, knee_of
from tests.referee.random_case import random_world, with_service
from tests.referee.worlds import ALL, hold_on
from tests.referee.worlds import world as world_of

SEEDS = range(60 if ALL else 12)
OVER_YEARS = range(60) if ALL else range(12, 24)
"""Cost now and over the years seldom part in these worlds: in five of sixty, two of them here."""

PLACES = [(stratum, seed) for stratum in ("plain", "tiers", "symmetric") for seed in SEEDS]


@cache
def found_at(place: tuple[str, int]) -> Front:
    return front(*world_of(*place))


def test_the_front_is_that_of_all_mixes() -> None:
    """Every point is undominated, and none is missing."""

    def law(place: tuple[str, int]) -> None:
        found = found_at(place)
        assert found.complete
        assert cost_hold_front(world_of(*place)) == [(p.first, round(100 * p.second)) for p in found.points]

    hold_on(PLACES, law)


@cache
def serviced(seed: int) -> World:
    return with_service(random_world(seed), seed)


@cache
def years_at(seed: int) -> Front:
    return front(*serviced(seed), PAIRS["cost,years"])


def test_the_front_of_cost_now_and_over_the_years_is_that_of_all_mixes() -> None:
    """Its ends are the plan of least cost now and the plan of least cost over the years."""

    def law(seed: int) -> None:
        found, every = years_at(seed), cost_years_front(serviced(seed))
        assert found.complete
        assert every == [(p.first, p.second) for p in found.points]
        ends: tuple[tuple[Least, int], ...] = (("now", 0), ("years", 1))
        for least, axis in ends:
            best = plan(*serviced(seed), Options(least=least))
            kept = best.best if best.status not in (Status.RELAXED, Status.NONE) else None
            assert min((pair[axis] for pair in every), default=None) == (kept.paid(least).high if kept else None)

    hold_on(OVER_YEARS, law)


def test_cost_now_and_over_the_years_do_not_always_agree() -> None:
    """Else the trade-off would be none."""
    assert sum(len(years_at(seed).points) >= 2 for seed in OVER_YEARS) >= len(OVER_YEARS) // 12


def test_the_random_fronts_are_not_all_alike() -> None:
    """Fronts of one point would prove little."""
    fronts = [found_at(place) for place in PLACES]

    assert sum(len(found.points) >= 3 for found in fronts) >= 3
    assert sum(found.knee is not None for found in fronts) >= 2
    assert all(found.knee == knee_of(found.points) for found in fronts)
