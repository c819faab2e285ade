"""The plan is the optimum that a second, exhaustive decision finds (python-constraint and scipy's linprog)."""

from __future__ import annotations

from collections import Counter

import pytest

from solver.assessment import Status
from solver.plan import plan
from solver.second_opinion.decide import decide
from solver.second_opinion.world import World
from tests.referee.random_case import random_world, with_pulls

SEEDS = range(200)


@pytest.mark.parametrize("seed", SEEDS)
def test_plan_is_the_exhaustive_optimum(seed: int) -> None:
    world = random_world(seed)

    assert decide(world).best == _ours(world)


@pytest.mark.parametrize("seed", range(100))
def test_plan_with_pulls_is_the_exhaustive_optimum(seed: int) -> None:
    """Where the case asks for pulls as well; the LP and its cuts against linprog on every mix."""
    world = with_pulls(random_world(seed), seed)

    assert decide(world).best == _ours(world)


def _ours(world: World) -> tuple[int, int, int] | None:
    """Cost, questions and parts of our plan; None where it gives something up."""
    found = plan(world.case, world.catalogue)
    best = found.best
    fits = found.status in (Status.FITS, Status.FITS_IF)
    return (best.cost.high, len(best.questions), sum(c.parts for c in best.mix)) if fits and best else None


def test_the_random_cases_are_not_all_alike() -> None:
    """A generator of only easy or only hopeless cases would prove little."""
    verdicts = Counter(plan(w.case, w.catalogue).status for w in map(random_world, SEEDS))
    rounds = [plan(w.case, w.catalogue).proof.cuts for w in map(random_world, range(60))]

    assert min(verdicts[Status.FITS] + verdicts[Status.FITS_IF], verdicts[Status.RELAXED]) >= 30
    assert sum(cuts > 0 for cuts in rounds) >= 10
