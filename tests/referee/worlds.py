"""A thousand worlds in strata, and a law held on the seeds of one: a few each day, all of them when asked for."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import cache, partial
from typing import NamedTuple, TypeVar

from solver.audit.second_opinion.mixes import Mixes
from solver.audit.second_opinion.world import World
from solver.choose.plan import Answer, plan
from tests.referee.open_case import open_world
from tests.referee.random_case import random_world, with_pulls
from tests.referee.tiered_case import tiered_world
from tests.referee.wide_case import wide_world

T = TypeVar("T")

ALL = os.environ.get("REGRIP_REFEREE") == "all"
"""`make referee` takes all seeds, `make test` a few of each stratum."""


class Stratum(NamedTuple):
    """A kind of world, and how many of it there are."""

    world: Callable[[int], World]
    number: int

    def seeds(self, few: int) -> range:
        """All of them, or a few each day."""
        return range(self.number if ALL else few)


def _pulled(seed: int) -> World:
    return with_pulls(random_world(seed), seed)


STRATA = {
    "plain": Stratum(random_world, 100),
    "pulls": Stratum(_pulled, 50),
    "wide": Stratum(wide_world, 200),
    "open": Stratum(open_world, 50),
    "tiers": Stratum(tiered_world, 200),
    "symmetric": Stratum(partial(tiered_world, bent="symmetric"), 100),
    "firm": Stratum(partial(tiered_world, bent="firm"), 100),
    "worn": Stratum(partial(tiered_world, bent="worn"), 75),
    "off": Stratum(partial(tiered_world, bent="off"), 75),
    "whole bar": Stratum(partial(tiered_world, bent="whole bar"), 50),
}
"""A thousand in all."""


@cache
def world(stratum: str, seed: int) -> World:
    """One world of a stratum."""
    return STRATA[stratum].world(seed)


@cache
def answered(stratum: str, seed: int) -> Answer:
    """Its plan."""
    return plan(*world(stratum, seed))


@cache
def mixes_of(stratum: str, seed: int) -> Mixes:
    """Its mixes, by the second opinion."""
    return Mixes(world(stratum, seed))


def hold_on(seeds: Iterable[T], law: Callable[[T], object]) -> None:
    """Hold a law on every seed; where it fails, all seeds on which it does are named."""
    wrong: dict[T, str] = {}
    for seed in seeds:
        try:
            law(seed)
        except AssertionError as error:
            wrong[seed] = str(error)
    assert not wrong, "\n".join(f"{seed}: {what}" for seed, what in wrong.items())
