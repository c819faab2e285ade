"""The smallest clash: no other has fewer members."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from itertools import combinations
from typing import TypeVar

from solver.conflict.clash import shrink
from solver.conflict.ordering import checked_order
from solver.conflict.results import Clash
from solver.conflict.verdict import Oracle, Verdict, remembering

T = TypeVar("T", bound=Hashable)


def smallest_clash(members: Iterable[T], is_satisfiable: Oracle[T]) -> Clash[T] | Verdict:
    """A clash of fewest members; the answer itself where there is none.

    One clash is found by removal, the last of `members` first, then every smaller set is asked about: right for some
    ten members of which a few clash. After UNDECIDED it is not proved minimal. Raises RepeatedMemberError.
    """
    order = checked_order(members)
    ask = remembering(is_satisfiable)
    found = shrink(order, ask)
    if isinstance(found, Verdict):
        return found
    decided = found.proved_minimal
    for size in range(len(found.members)):
        for few in combinations(order, size):
            verdict = ask(frozenset(few))
            if verdict is Verdict.NO:
                return Clash(few, decided)
            decided = decided and verdict is not Verdict.UNDECIDED
    return Clash(found.members, decided)
