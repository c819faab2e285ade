"""Least weight that reaches a size, at most one item of each group: dynamic programming over the size.

The multiple-choice knapsack with a floor (Kellerer, Pferschy, Pisinger, Knapsack Problems, Springer 2004, chapter 11
has the mirror image with a ceiling; recalled from memory). Whole numbers throughout, so the result is exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

MOST_STEPS = 20_000
"""Sizes are counted in steps of their common divisor, or in larger ones where that would be more steps than this."""

_NONE = 2**60
"""Weight of what cannot be reached."""

Table = NDArray[np.int64]


class Item(NamedTuple):
    """Something that may be taken; `name` is the caller's number for it."""

    weight: int
    size: int
    name: int


class Group(NamedTuple):
    """Items of which one at most is taken; with `filled` exactly one."""

    items: Sequence[Item]
    filled: bool = False


class Lightest(NamedTuple):
    """No choice that reaches the floor weighs less than `weight`; `taken` has this weight, in order of group.

    Where sizes had to be counted in larger steps, `taken` may miss the floor by a little; the bound stands.
    """

    weight: int
    taken: tuple[int, ...]


def lightest(groups: Sequence[Group], floor: int) -> Lightest | None:
    """The lightest choice whose sizes sum to the floor at least; None where there is none."""
    sizes = [item.size for group in groups for item in group.items]
    grain = max(gcd(floor, *sizes), -(-floor // MOST_STEPS), 1)
    steps = floor // grain
    useful = [group._replace(items=_useful(group.items, grain, steps)) for group in groups]
    tables = [np.full(steps + 1, _NONE, dtype=np.int64)]
    tables[0][0] = 0
    for group in useful:
        tables.append(_with(tables[-1], group))
    weight = int(tables[-1][steps])
    return Lightest(weight, _taken(tables, useful, steps)) if weight < _NONE else None


def _useful(items: Iterable[Item], grain: int, steps: int) -> list[Item]:
    """Sizes in steps, rounded up; only items larger than all that are lighter."""
    found: list[Item] = []
    most = -1
    for item in sorted(items):
        if item.size > most:  # mostly not: what is not larger in full is not larger in steps
            most, size = item.size, min(-(-item.size // grain), steps)
            if not found or size > found[-1].size:
                found.append(item._replace(size=size))
    return found


def _with(before: Table, group: Group) -> Table:
    """Least weight for every size at least, once a group more may be used."""
    now = np.full_like(before, _NONE) if group.filled else before.copy()
    for weight, size, _ in group.items:
        np.minimum(now[:size], before[0] + weight, out=now[:size])
        np.minimum(now[size:], before[: len(before) - size] + weight, out=now[size:])
    return now


def _taken(tables: Sequence[Table], groups: Sequence[Group], size: int) -> tuple[int, ...]:
    """Walk back through the tables: which item made each step."""
    taken: list[int] = []
    for before, now, group in reversed(list(zip(tables, tables[1:], groups, strict=False))):
        if group.filled or now[size] < before[size]:
            item = next(i for i in group.items if before[max(size - i.size, 0)] + i.weight == now[size])
            taken.append(item.name)
            size = max(size - item.size, 0)
    return tuple(reversed(taken))
