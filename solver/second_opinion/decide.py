"""What follows from all mixes: the best one, every smallest set of waivers, cost against questions, trade-offs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import inf

from solver.case import PULLS
from solver.second_opinion.mixes import Mix, Mixes, Rank
from solver.second_opinion.world import World


@dataclass(frozen=True, slots=True)
class Verdict:
    """The least rank (see `Mixes.rank`), None where nothing fits, and how many mixes were weighed for it."""

    best: Rank | None
    tried: int


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
    rank: Callable[[Mix], Rank] | None = None,
) -> Verdict:
    """As `decide`, by another rank where one is given."""
    order = rank or mixes.rank
    kept = [mix for mix in mixes if wanted(mix) and mixes.plainly_broken(mix) <= given_up]
    ranked = sorted((order(mix), index) for index, mix in enumerate(kept))
    for tried, (found, index) in enumerate(ranked, 1):
        if _stands(mixes, kept[index], given_up):
            return Verdict(found, tried)
    return Verdict(None, len(ranked))


def _stands(mixes: Mixes, mix: Mix, given_up: frozenset[str]) -> bool:
    weak = any(mixes.motion.weak(mix, name) for name in PULLS if f"pulls:{name}" not in given_up)
    return not weak and mixes.motion.free(mix, given_up)


def waiver_sets(mixes: Mixes) -> set[frozenset[str]]:
    """Every smallest set of rules that some mix breaks and no other; physics is broken by none.

    The empty set alone where a mix breaks nothing; no set at all where physics is against every mix.
    """
    found: list[frozenset[str]] = []
    sized = ((mixes.plainly_broken(mix), mix) for mix in mixes)
    for plain, mix in sorted((pair for pair in sized if not pair[0] & mixes.hard), key=lambda pair: len(pair[0])):
        if any(smaller <= plain for smaller in found) or _against_physics(mixes, mix):
            continue
        broken = mixes.broken(mix)
        if not any(smaller <= broken for smaller in found):
            found = [larger for larger in found if not broken <= larger] + [broken]
    return set(found)


def _against_physics(mixes: Mixes, mix: Mix) -> bool:
    return any(mixes.motion.binds(mix, name) for name in mixes.motion.shares if f"moves:{name}" in mixes.hard)


def question_curve(mixes: Mixes) -> list[tuple[int, int]]:
    """The least cost for every number of open questions at which it falls."""
    pairs = ((mixes.rank(mix), mix) for mix in mixes if not mixes.plainly_broken(mix))
    return _front(mixes, [((asks, cost), mix) for (cost, asks, _), mix in pairs])


def cost_hold_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of cost (minor units, high end) and hold (millinewtons, low end)."""
    mixes = Mixes(world)
    every = [((mixes.cost(mix), -_hold_mn(mix)), mix) for mix in mixes if not mixes.plainly_broken(mix)]
    return [(cost, -less) for cost, less in _front(mixes, every)]


def cost_years_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of the cost of fitting and that over the years (minor units, high ends)."""
    mixes = Mixes(world)
    every = [((mixes.cost(mix), mixes.years_cost(mix)), mix) for mix in mixes if not mixes.plainly_broken(mix)]
    return _front(mixes, every)


def _front(mixes: Mixes, pairs: Iterable[tuple[tuple[int, int], Mix]]) -> list[tuple[int, int]]:
    """Undominated pairs, both to be small, of the mixes that move and hold."""
    front, least = [], inf
    for pair, mix in sorted(pairs, key=lambda entry: entry[0]):
        if pair[1] < least and _stands(mixes, mix, frozenset()):
            front.append(pair)
            least = pair[1]
    return front


def _hold_mn(mix: Mix) -> int:
    return sum(round(1000 * piece.count * piece.attachment.retention_n.low) for piece in mix)
