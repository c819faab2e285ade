"""Minimal hitting sets: sets with a member in each set of a family, and no member to spare.

They tie clashes and waiver sets together: the minimal hitting sets of one kind are exactly the other kind
(Reiter, Artif. Intell. 1987;32:57-95; Liffiton and Sakallah, J. Autom. Reason. 2008;40:1-33).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from typing import TypeVar

from solver.explain.algorithms.ordering import checked_order, ranked, ranks, size_bound

T = TypeVar("T", bound=Hashable)


def hit_also(hitting: Sequence[frozenset[T]], extra: Sequence[T]) -> list[frozenset[T]]:
    """From all minimal hitting sets of a family, all those of the family with `extra` added.

    One step of Berge's multiplication (Berge, Hypergraphs, 1989). A set that meets `extra` stays; one that
    does not grows by each member of `extra` in turn. Two grown sets never contain one another, so it is
    enough to drop the grown ones that contain a set that stayed.
    """
    stayed = [each for each in hitting if not each.isdisjoint(extra)]
    grown = [each | {member} for each in hitting if each.isdisjoint(extra) for member in extra]
    return stayed + [each for each in grown if not any(small <= each for small in stayed)]


def minimal_hitting_sets(
    family: Iterable[Iterable[T]], order: Iterable[T], *, max_size: int | None = None
) -> tuple[tuple[T, ...], ...]:
    """All minimal hitting sets of the family with at most `max_size` members, smallest first, then by order.

    An empty family is hit by the empty set; a family that holds an empty set is hit by none. The bound is
    kept at every step: what grows out of a set is never smaller. Time and room grow with the number of
    hitting sets on the way, which can be exponential.

    Raises RepeatedMemberError, UnknownMemberError, BoundNegativeError.
    """
    order = checked_order(order)
    bound = size_bound(max_size, order)
    hitting: list[frozenset[T]] = [frozenset()]
    for each in family:
        hitting = [grown for grown in hit_also(hitting, ranked(each, order)) if len(grown) <= bound]
    hitting.sort(key=lambda each: (len(each), ranks(each, order)))
    return tuple(ranked(each, order) for each in hitting)
