"""The caller's order of members decides every tie, so that the same input always gives the same answer."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

from solver.explain.algorithms.errors import (
    BoundNegativeError,
    RepeatedMemberError,
    UnknownMemberError,
    WeightNotPositiveError,
)

T = TypeVar("T", bound=Hashable)


def checked_order(members: Iterable[T]) -> tuple[T, ...]:
    """The members as a tuple; raises RepeatedMemberError."""
    seen: set[T] = set()
    order = tuple(members)
    for member in order:
        if member in seen:
            raise RepeatedMemberError(member)
        seen.add(member)
    return order


def ranked(members: Iterable[T], order: Sequence[T]) -> tuple[T, ...]:
    """The members sorted by the order, each once; raises UnknownMemberError."""
    wanted = frozenset(members)
    unknown = wanted.difference(order)
    if unknown:
        raise UnknownMemberError(min(unknown, key=repr))
    return tuple(member for member in order if member in wanted)


def ranks(members: frozenset[T], order: Sequence[T]) -> tuple[int, ...]:
    """Places of the members in the order: a sort key."""
    return tuple(place for place, member in enumerate(order) if member in members)


def checked_weights(weights: Mapping[T, int] | None, order: Sequence[T]) -> dict[T, int]:
    """One weight for each member of the order, 1 where none are given; raises WeightNotPositiveError."""
    if weights is None:
        return dict.fromkeys(order, 1)
    for member in order:
        weight = weights.get(member)
        if weight is None or weight <= 0:
            raise WeightNotPositiveError(member, weight)
    return {member: weights[member] for member in order}


def size_bound(max_size: int | None, order: Sequence[T]) -> int:
    """The bound as a number, none meaning all members; raises BoundNegativeError."""
    if max_size is None:
        return len(order)
    if max_size < 0:
        raise BoundNegativeError(max_size)
    return max_size
