"""What an answer is worth: expectations over answers that come out well or badly, each by itself.

A plan hangs on a set of answers and can be had when all of them come out well; of the plans that can be had the
cheapest is taken. Sums are exact: only answers that matter are branched on.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Hanging(Generic[T]):
    """A plan that costs this (minor units) and hangs on these answers."""

    on: frozenset[T]
    cost: int


@dataclass(frozen=True, slots=True)
class Worth:
    """What knowing one answer brings on average, the others being asked too.

    `saving` in minor units, where a plan can be had either way; `rescue` is how much likelier it makes any plan.
    """

    saving: float
    rescue: float


def worth(question: T, plans: Sequence[Hanging[T]], chance: Mapping[T, float]) -> Worth:
    """Worth of a question: what is lost on average if it can never be asked."""
    ordered = tuple(sorted(plans, key=lambda plan: (plan.cost, len(plan.on))))

    @cache
    def without(left: tuple[Hanging[T], ...]) -> tuple[float, float]:
        """Chance that some plan can be had, and its cost times that chance."""
        if not left:
            return 0.0, 0.0
        first = left[0]
        if not first.on:
            return 1.0, float(first.cost)
        asked = min(first.on, key=repr)
        good, bad = without(_well(left, asked)), without(_badly(left, asked))
        p = chance[asked]
        return p * good[0] + (1 - p) * bad[0], p * good[1] + (1 - p) * bad[1]

    @cache
    def loss(left: tuple[Hanging[T], ...]) -> Worth:
        """Where the answer is good: what the cheapest plan with it spares against the cheapest without."""
        if not left:
            return Worth(0.0, 0.0)
        others = left[0].on - {question}
        if others:
            asked = min(others, key=repr)
            good, bad = loss(_well(left, asked)), loss(_badly(left, asked))
            p = chance[asked]
            return Worth(p * good.saving + (1 - p) * bad.saving, p * good.rescue + (1 - p) * bad.rescue)
        if not left[0].on:
            return Worth(0.0, 0.0)
        exists, cost = without(_badly(left, question))
        return Worth(cost - left[0].cost * exists, 1 - exists)

    found = loss(ordered)
    return Worth(chance[question] * found.saving, chance[question] * found.rescue)


def _well(plans: tuple[Hanging[T], ...], asked: T) -> tuple[Hanging[T], ...]:
    return tuple(Hanging(plan.on - {asked}, plan.cost) for plan in plans)


def _badly(plans: tuple[Hanging[T], ...], asked: T) -> tuple[Hanging[T], ...]:
    return tuple(plan for plan in plans if asked not in plan.on)
