"""The second opinion on one case, where it is small enough to try every mix."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.second_opinion.decide import best_of
from solver.second_opinion.mixes import Mix, Mixes, Rank
from solver.second_opinion.world import World

MOST_MIXES = 250_000
"""More than these are not tried; so many take some seconds (docs/trust.md)."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """What trying every mix gave, or `mixes` alone where they are too many (`taken` False).

    `fits` ranks the best mix that keeps every rule, `given_up` the best that breaks none but the rules asked about;
    None where there is none. A rank is cost (minor units, high end, of fitting or over the years), open questions,
    parts.
    """

    mixes: int
    most: int
    fits: Rank | None = None
    given_up: Rank | None = None

    @property
    def taken(self) -> bool:
        """False where the case is too large for it."""
        return self.mixes <= self.most


def second_opinion(
    world: World,
    given_up: frozenset[str] = frozenset(),
    *,
    least: Literal["now", "years"] = "now",
    most: int = MOST_MIXES,
) -> Opinion:
    """Decide by trying every mix; `given_up` are the codes of rules that the plan gives up.

    Raises:
        NotInstalled: where the library that enumerates is missing.
    """
    mixes = Mixes(world)
    if mixes.number > most:
        return Opinion(mixes.number, most)

    def over_years(mix: Mix) -> Rank:
        return (mixes.years_cost(mix), *mixes.rank(mix)[1:])

    rank = over_years if least == "years" else mixes.rank
    fits = best_of(mixes, rank=rank).best
    relaxed = best_of(mixes, given_up=given_up, rank=rank).best if given_up else fits
    return Opinion(mixes.number, most, fits, relaxed)
