"""Small worlds under tiers and preferences with all their mixes; choice, cuts and tiers are held to them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from tests.referee.random_case import mirrored_world, random_world, with_tiers
from tests.solver.oracle import count, every_mix, keeping_all

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
    """The worlds of a block with their seeds."""
    return [(seed, tried(block, seed)) for seed in BLOCKS[block][1]]
