"""The tiers decided again: the cheapest stopgap, the firmest plan, and what firmer plans cost at least."""

from __future__ import annotations

from collections.abc import Collection
from heapq import heapify, heappop, heappush

from solver.audit.second_opinion.asked import Tier
from solver.audit.second_opinion.decide import Verdict, best_of, stands
from solver.audit.second_opinion.mixes import Least, Mixes
from solver.audit.second_opinion.world import World


def stopgap(world: World, *, least: Least = "now") -> Verdict:
    """The best mix that keeps every rule of the case and the promise of a stopgap."""
    return best_of(Mixes(world).promising("stopgap"), least=least)


def firmest(world: World, tier: Tier, without: Collection[str]) -> tuple[int, int] | None:
    """The best least pull that a mix has which keeps the promise of a tier, hundredths of a newton, and its cost.

    It goes `without` no preferences but these.
    """
    mixes = Mixes(world).promising(tier)
    like = [mix for mix in mixes if mixes.without(mix).issubset(without)]
    queue = [(-mixes.hold.most_grip(mix), mixes.cost(mix), index, False, mix) for index, mix in enumerate(like)]
    heapify(queue)
    while queue:
        less, cost, index, told, mix = heappop(queue)
        if told:
            return -less, cost
        if stands(mixes, mix):
            heappush(queue, (-mixes.hold.grip(mix), cost, index, True, mix))
    return None


def cheapest_with(world: World, tier: Tier, grip: int, without: Collection[str]) -> int | None:
    """The least cost of a mix that keeps the promise of a tier with this least pull, hundredths of a newton.

    It goes `without` no preferences but these.
    """
    mixes = Mixes(world).promising(tier)
    firm = (mix for mix in mixes if mixes.hold.most_grip(mix) >= grip)
    for mix in sorted(firm, key=mixes.cost):
        if mixes.without(mix).issubset(without) and stands(mixes, mix) and mixes.hold.grip(mix) >= grip:
            return mixes.cost(mix)
    return None
