"""The smallest clash: no other has fewer members."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import TypeVar

from solver.explain.algorithms.clash import shrink
from solver.explain.algorithms.hitting import minimal_hitting_sets
from solver.explain.algorithms.ordering import checked_order
from solver.explain.algorithms.results import Clash
from solver.explain.algorithms.verdict import Oracle, Verdict, remembering

T = TypeVar("T", bound=Hashable)


def smallest_clash(
    members: Iterable[T], is_satisfiable: Oracle[T], *, corrections: Iterable[Iterable[T]] = ()
) -> Clash[T] | Verdict:
    """A clash of fewest members; the answer itself where there is none.

    One clash is found by removal, the last of `members` first. Every clash has a member in each waiver set, so the
    smallest set that has one in each of those known is asked about: it is a clash, or shows a waiver set that it
    misses, until none smaller than the first clash is left (Ignatiev et al., CP 2015, LNCS 9255:173-182).
    `corrections` are waiver sets known before. After UNDECIDED it is not proved minimal.
    Raises RepeatedMemberError, UnknownMemberError.
    """
    order = checked_order(members)
    ask = remembering(is_satisfiable)
    found = shrink(order, ask)
    if isinstance(found, Verdict) or not found.members:
        return found
    to_hit = [frozenset(each) for each in corrections]
    while smaller := minimal_hitting_sets(to_hit, order, max_size=len(found.members) - 1):
        verdict = ask(frozenset(smaller[0]))
        if verdict is Verdict.NO:
            return Clash(smaller[0], proved_minimal=True)
        if verdict is Verdict.UNDECIDED:
            return Clash(found.members, proved_minimal=False)
        to_hit.append(_missed(smaller[0], order, ask))
    return found


def _missed(few: tuple[T, ...], order: tuple[T, ...], ask: Oracle[T]) -> frozenset[T]:
    """What is left out where `few` is grown as far as it can be kept; a member in doubt is left out too."""
    kept = frozenset(few)
    for member in order:
        if member not in kept and ask(kept | {member}) is Verdict.YES:
            kept |= {member}
    return frozenset(order) - kept
