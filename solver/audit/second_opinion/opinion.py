"""The second opinion on one case, where it is small enough to try every mix."""

from __future__ import annotations

from dataclasses import dataclass

from solver.audit.second_opinion.decide import Found, best_of, relaxed
from solver.audit.second_opinion.mixes import Least, Mixes
from solver.audit.second_opinion.world import World

MOST_MIXES = 250_000
"""More than these are not tried; so many take some seconds (docs/trust.md)."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """What trying every mix gave, or `mixes` alone where they are too many (`taken` False).

    `fits` is the best mix that keeps every rule; where there is none, `relaxed` is the best of those that give up the
    least, and `same` the best of those that give up but the rules asked about. None where there is none.
    """

    mixes: int
    most: int
    fits: Found | None = None
    relaxed: Found | None = None
    same: Found | None = None

    @property
    def taken(self) -> bool:
        """False where the case is too large for it."""
        return self.mixes <= self.most


def second_opinion(
    world: World, given_up: frozenset[str] = frozenset(), *, least: Least = "now", most: int = MOST_MIXES
) -> Opinion:
    """Decide by trying every mix; `given_up` are the codes of rules that the plan gives up.

    Raises:
        NotInstalled: where the library that enumerates is missing.
    """
    mixes = Mixes(world)
    if mixes.number > most:
        return Opinion(mixes.number, most)
    fits = best_of(mixes, least=least).found
    if fits:
        return Opinion(mixes.number, most, fits)
    weighing = mixes.promising("usual", "stopgap")
    weighed = same = relaxed(weighing, least=least).found
    if weighed and any(code not in given_up for code in weighed.given_up if not code.startswith("stopgap:")):
        same = relaxed(weighing, given_up, least=least).found
    return Opinion(mixes.number, most, None, weighed, same)
