"""Under tiers and preferences the answers are those of trying every mix of small worlds, mirrored ones among them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

import pytest

from solver.assessment import Assessment
from solver.choose import LEAST_PULL, Choice, Options, choose, choose_least, choose_relaxed
from solver.cutter import grip_of
from solver.front import COST
from solver.master import Outcome
from solver.mechanics import Mechanics
from solver.problem import Least, Problem, problem_of
from tests.referee.random_case import mirrored_world, random_world, with_tiers
from tests.solver.oracle import (
    count,
    every_mix,
    giving_up_least,
    is_best,
    keeping_all,
    on_terms,
    rank,
    weight,
    without,
)

RANDOM = (
    (4, 5, 10, 13, 15, 16, 28, 34, 37, 55, 59, 0, 7, 9, 14, 17),
    (18, 22, 23, 24, 27, 30, 32, 33, 35, 36, 40, 42, 43, 44, 51, 57),
)
MIRRORED = (
    (1, 2, 5, 20, 29, 31, 46, 3, 6, 7, 9, 10, 15, 16, 18, 21),
    (8, 53, 11, 24, 27, 28, 30, 32, 33, 34, 36, 37, 38, 42, 44, 45, 48, 49, 55),
)
BLOCKS = {
    "random, most fit": (random_world, RANDOM[0]),
    "random, none fits": (random_world, RANDOM[1]),
    "mirrored, most fit": (mirrored_world, MIRRORED[0]),
    "mirrored, few fit": (mirrored_world, MIRRORED[1]),
}
WORLDS = {"random": RANDOM, "mirrored": MIRRORED}


class Tried(NamedTuple):
    """A problem with all its mixes, and those that keep every rule."""

    problem: Problem
    mechanics: Mechanics
    every: Sequence[Assessment]
    keeping: Sequence[Assessment]


@cache
def tried(block: str, seed: int) -> Tried:
    """The world of a seed; its mixes are worked out once for all tests."""
    make, _ = BLOCKS[block]
    problem = problem_of(*with_tiers(make(seed), seed))
    assert count(problem) <= 110
    mechanics = Mechanics(problem)
    every = list(every_mix(problem, mechanics))
    return Tried(problem, mechanics, every, keeping_all(problem, every))


def worlds(block: str) -> list[tuple[int, Tried]]:
    return [(seed, tried(block, seed)) for seed in BLOCKS[block][1]]


@pytest.mark.parametrize("least", ["now", "years"])
@pytest.mark.parametrize("block", BLOCKS)
def test_the_choice_is_the_cheapest_on_its_terms(block: str, least: Least) -> None:
    for seed, world in worlds(block):
        found = choose(world.problem, Mechanics(world.problem), Options(least=least))

        assert (Outcome.OPTIMAL if world.keeping else Outcome.INFEASIBLE) is found.outcome, seed
        assert bool(world.keeping) is bool(found.best), seed
        if found.best:
            assert () == found.best.broken, seed
            assert is_best(found.best, world.keeping, least), (seed, found.best.keys)


@pytest.mark.parametrize("block", BLOCKS)
def test_the_list_goes_on_on_the_terms_of_the_best(block: str) -> None:
    """The best three: none comes twice, and each ranks as its place among the mixes on these terms."""
    for seed, world in worlds(block):
        found = choose(world.problem, Mechanics(world.problem), Options(plans=3))
        if not found.best:
            continue
        terms = without(found.best)
        ranked = sorted(rank(mix) for mix in world.keeping if without(mix) <= terms)

        assert ranked[:3] == [rank(mix) for mix in found.mixes], seed
        assert len(found.mixes) == len({mix.keys for mix in found.mixes}), seed


@pytest.mark.parametrize("block", BLOCKS)
def test_what_is_given_up_weighs_least_amounts_counted_and_then_is_the_cheapest_on_its_terms(block: str) -> None:
    for seed, world in worlds(block):
        least, lightest = giving_up_least(world.every)
        found = choose_relaxed(world.problem, Mechanics(world.problem), Options())

        assert (Outcome.OPTIMAL if lightest else Outcome.INFEASIBLE) is found.outcome, seed
        if found.best:
            assert least == weight(found.best), (seed, found.best.keys, found.best.given_up)
            assert is_best(found.best, lightest), (seed, found.best.keys)


@pytest.mark.parametrize("block", BLOCKS)
def test_the_best_least_pull_and_the_least_that_it_costs(block: str) -> None:
    for seed, world in worlds(block):
        found = _firmest(world)
        best = max(((grip_of(mix), -mix.cost.high) for mix in world.keeping), default=None)

        assert (Outcome.OPTIMAL if best else Outcome.INFEASIBLE) is found.outcome, seed
        assert best == next(((grip_of(mix), -mix.cost.high) for mix in found.mixes), None), seed


@pytest.mark.parametrize("block", BLOCKS)
def test_each_least_pull_is_had_at_the_least_cost(block: str) -> None:
    """Of all least pulls each in turn is asked for; one more than the most is had by none."""
    for seed, world in worlds(block):
        for grip in {0, *(grip_of(mix) for mix in world.keeping), _most(world.keeping) + 1}:
            within = [mix for mix in world.keeping if grip_of(mix) >= grip]
            found = choose_least(
                world.problem, Mechanics(world.problem), Options(), [COST.goal], [(LEAST_PULL, -grip)]
            )

            assert min((mix.cost.high for mix in within), default=None) == next(
                (mix.cost.high for mix in found.mixes), None
            ), (seed, grip)
            assert all(grip_of(mix) >= grip for mix in found.mixes), (seed, grip)


def _firmest(world: Tried) -> Choice:
    return choose_least(world.problem, Mechanics(world.problem), Options(), [LEAST_PULL, COST.goal])


def _most(mixes: Sequence[Assessment]) -> int:
    return max((grip_of(mix) for mix in mixes), default=0)


def test_these_worlds_are_of_every_kind() -> None:
    """Else trying them all would prove little."""
    every = [world for block in BLOCKS for _, world in worlds(block)]
    broken = Counter(
        code for world in every for code in {rule.code.split(":")[0] for mix in world.every for rule in mix.broken}
    )

    assert len(every) >= 60
    assert sum(bool(world.keeping) for world in every) >= 18
    rules = {"pulls", "spread", "even", "peel", "fights", "borne", "supports", "budget", "need", "allowed", "moves"}
    assert rules <= set(broken)
    assert sum(bool(world.problem.mirrors) for world in every) >= 30
    for code in ("alike", "whole-bar"):
        assert any(
            on_terms(mix) > mix.cost.high and code in {p.code for p in without(mix)}
            for world in every
            for mix in world.keeping
        )
    assert any(mix.takes_bar_off for world in every for mix in world.keeping)
