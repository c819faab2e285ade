"""What follows from all mixes: the best one, every smallest set of waivers, cost against questions, trade-offs."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from math import inf
from typing import TypeAlias

from solver.audit.second_opinion.hold import Misses
from solver.audit.second_opinion.mixes import Least, Mix, Mixes, Rank, Terms
from solver.audit.second_opinion.world import World

Key: TypeAlias = tuple[int, Terms]
"""What is made least: the weight of what is given up, then the terms."""


@dataclass(frozen=True, slots=True)
class Found:
    """A best mix: its rank, the preferences that it goes without, what it gives up and what that weighs."""

    mix: Mix
    rank: Rank
    without: frozenset[str]
    given_up: frozenset[str]
    weight: int


@dataclass(frozen=True, slots=True)
class Verdict:
    """The best mix, None where there is none, and how many linear programmes' worth of mixes it took."""

    found: Found | None
    tried: int

    @property
    def best(self) -> Rank | None:
        """Cost, questions, parts."""
        return self.found.rank if self.found else None


def decide(
    world: World, wanted: Callable[[Mix], bool] = lambda _: True, *, given_up: frozenset[str] = frozenset()
) -> Verdict:
    """The optimum among the wanted mixes that break none but the given rules; raises `NotInstalled`."""
    return best_of(Mixes(world), wanted, given_up=given_up)


def best_of(
    mixes: Mixes,
    wanted: Callable[[Mix], bool] = lambda _: True,
    *,
    given_up: frozenset[str] = frozenset(),
    least: Least = "now",
) -> Verdict:
    """As `decide`; what is given up weighs nothing."""
    return _first(mixes, wanted, least, lambda missed: 0 if missed.keys() <= given_up else None)


def relaxed(
    mixes: Mixes,
    only: Collection[str] | None = None,
    *,
    wanted: Callable[[Mix], bool] = lambda _: True,
    least: Least = "now",
) -> Verdict:
    """The best of the wanted mixes that give up the least, amounts counted; `only` these rules, and no physics.

    What a stopgap promises is always among them.
    """

    def weigh(missed: Misses) -> int | None:
        hard = missed.keys() & mixes.hard
        other = only is not None and any(code not in only for code in missed if not code.startswith("stopgap:"))
        return None if hard or other else mixes.weight(missed)

    return _first(mixes, wanted, least, weigh)


def _first(
    mixes: Mixes, wanted: Callable[[Mix], bool], least: Least, weigh: Callable[[Misses], int | None]
) -> Verdict:
    """The mix least in weight, then in terms.

    What a mix misses is found stage by stage, and only while it might still be the best: more found weighs no less.
    """
    every = [mix for mix in mixes if wanted(mix)]
    terms = [mixes.terms(mix, least) for mix in every]
    misses: list[Misses] = [{} for _ in every]
    stages = mixes.stages
    queue = [((0, terms[index]), index, 0) for index in range(len(every))]
    heapify(queue)
    tried = 0
    while queue:
        (weight, _), index, stage = heappop(queue)
        mix = every[index]
        if stage == len(stages):
            return Verdict(_found(mixes, mix, misses[index], weight, least), tried)
        tried += stage == 1
        misses[index] |= stages[stage](mix)
        weighed = weigh(misses[index])
        if weighed is not None:
            heappush(queue, ((weighed, terms[index]), index, stage + 1))
    return Verdict(None, tried)


def _found(mixes: Mixes, mix: Mix, missed: Misses, weight: int, least: Least) -> Found:
    return Found(mix, mixes.rank(mix, least), mixes.without(mix), frozenset(missed), weight)


def waiver_sets(mixes: Mixes) -> set[frozenset[str]]:
    """Every smallest set of rules that some mix breaks and no other; physics is broken by none.

    The empty set alone where a mix breaks nothing; no set at all where physics is against every mix.
    """
    found: list[frozenset[str]] = []
    sized = ((frozenset(mixes.plainly_missed(mix)), mix) for mix in mixes)
    for plain, mix in sorted((pair for pair in sized if not pair[0] & mixes.hard), key=lambda pair: len(pair[0])):
        if any(smaller <= plain for smaller in found):
            continue
        broken = mixes.broken(mix)
        if not broken & mixes.hard and not any(smaller <= broken for smaller in found):
            found = [larger for larger in found if not broken <= larger] + [broken]
    return set(found)


def question_curve(mixes: Mixes) -> list[tuple[int, int]]:
    """The least cost for every number of open questions at which it falls."""
    pairs = ((mixes.rank(mix), mix) for mix in mixes)
    return _front(mixes, [((asks, cost), mix) for (cost, asks, _), mix in pairs])


def cost_hold_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of cost (minor units, high end) and least pull (hundredths of a newton, low end)."""
    mixes = Mixes(world)
    every = [((mixes.cost(mix), -mixes.hold.grip(mix)), mix) for mix in mixes if not mixes.plainly_missed(mix)]
    return [(cost, -less) for cost, less in _front(mixes, every)]


def cost_years_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of the cost of fitting and that over the years (minor units, high ends)."""
    mixes = Mixes(world)
    return _front(mixes, [((mixes.cost(mix), mixes.years_cost(mix)), mix) for mix in mixes])


def stands(mixes: Mixes, mix: Mix) -> bool:
    """True where a mix breaks nothing."""
    return not any(stage(mix) for stage in mixes.stages)


def _front(mixes: Mixes, pairs: Iterable[tuple[tuple[int, int], Mix]]) -> list[tuple[int, int]]:
    """Undominated pairs, both to be small, of the mixes that break nothing."""
    front, least = [], inf
    for pair, mix in sorted(pairs, key=lambda entry: entry[0]):
        if pair[1] < least and stands(mixes, mix):
            front.append(pair)
            least = pair[1]
    return front
