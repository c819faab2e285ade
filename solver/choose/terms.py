"""Which preferences are worth their price: a mix that goes without one must save its share of the cost.

Costs raised by a factor are no sum, so the cheapest mix is searched for every set of preferences that could win. Two
bounds keep that short: what keeps more preferences costs no less, and a mix that is the cheapest on few terms and
keeps more is the cheapest on these too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations
from typing import NamedTuple, TypeAlias

from solver.assess.assessment import Assessment
from solver.assess.problem import Least, Problem
from solver.case.rules import Preference
from solver.choose.master import Solved

Worth: TypeAlias = tuple[Fraction, tuple[bool, ...]]
"""Cost raised for what is gone without, and of equals what is gone without: the less the better."""


class Found(NamedTuple):
    """The cheapest mix that keeps the preferences `wanted`; None where none does."""

    wanted: frozenset[Preference]
    solved: Solved
    mix: Assessment | None


class TermsSearch:
    """The sets of preferences that are still to be searched, and the best mix so far."""

    def __init__(self, problem: Problem, least: Least) -> None:
        self._problem, self._least = problem, least
        self._found: list[Found] = []
        every = problem.preferences
        sets = map(frozenset, subsets(every))
        first = [frozenset(every), *([frozenset[Preference]()] if every else [])]
        rest = sorted((gone for gone in sets if gone not in first), key=self._price_of_going_without)
        self._open = [*first, *rest]

    def next(self) -> tuple[Preference, ...] | None:
        """Return the preferences to search with next; none at first, None where nothing is left that could win."""
        while self._open:
            gone = self._open.pop(0)
            if self._could_win(gone):
                return tuple(each for each in self._problem.preferences if each not in gone)
        return None

    def learn(self, wanted: Iterable[Preference], solved: Solved, mix: Assessment | None) -> None:
        """Note the cheapest mix that keeps what was wanted, None where no mix does."""
        self._found.append(Found(frozenset(wanted), solved, mix))

    @property
    def best(self) -> tuple[Solved, Assessment]:
        """The best so far; there is one where the search without terms found one."""
        worth = [(self._worth(found.mix), found.solved, found.mix) for found in self._found if found.mix is not None]
        _, solved, mix = min(worth, key=lambda each: each[0])
        return solved, mix

    def _could_win(self, gone: frozenset[Preference]) -> bool:
        """True where a mix that goes without just these might be better than the best so far."""
        below = [found for found in self._found if not found.wanted & gone]
        if not below:
            return True
        mixes = [found.mix for found in below if found.mix is not None]
        if len(mixes) < len(below) or any(gone.issuperset(mix.unpreferred) for mix in mixes):
            return False
        cost = max(mix.paid(self._least).high for mix in mixes)
        at_least = cost * terms_factor(gone), terms_order(self._problem, gone)
        return at_least < self._worth(self.best[1])

    def _worth(self, mix: Assessment) -> Worth:
        return terms_weight(mix, self._least), terms_order(self._problem, mix.unpreferred)

    def _price_of_going_without(self, gone: frozenset[Preference]) -> Worth:
        return terms_factor(gone), terms_order(self._problem, gone)


def subsets(preferences: Sequence[Preference]) -> Iterator[tuple[Preference, ...]]:
    """Every set of preferences, the smallest first."""
    for size in range(len(preferences) + 1):
        yield from combinations(preferences, size)


def terms_weight(mix: Assessment, least: Least) -> Fraction:
    """Return the cost, raised so that a mix without a preference wins only by saving more than its share."""
    return mix.paid(least).high * terms_factor(mix.unpreferred)


def terms_factor(without: Iterable[Preference]) -> Fraction:
    """Return by what the cost of a mix is raised that goes without these preferences."""
    factor = Fraction(1)
    for preference in without:
        factor /= 1 - Fraction(str(preference.saves))
    return factor


def terms_order(problem: Problem, without: Collection[Preference]) -> tuple[bool, ...]:
    """Of mixes that weigh equal the one that leaves the bar whole, then the one of one kind, then the one alike."""
    return tuple(preference in without for preference in reversed(problem.preferences))
