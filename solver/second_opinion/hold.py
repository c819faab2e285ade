"""What a mix takes where it is pulled, against what is asked: floors, spread, evenness and the hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import TypeAlias

from solver.case import PullName
from solver.second_opinion.asked import Asked, Floor, Tier, percent
from solver.second_opinion.known import Known, Parts, parts_of
from solver.second_opinion.pieces import TOLERANCE, Piece
from solver.second_opinion.pulled import FINGERS, FLOORS, Holds, Pulled, high, low, worn
from solver.second_opinion.world import World

Mix: TypeAlias = tuple[Piece, ...]
Misses: TypeAlias = dict[str, int]
"""Codes of rules that are broken, each with by how much of its limit, per cent; 0 for a rule of yes or no."""


class Hold:
    """The pulls of one case under the promise of some tiers; each is worked out once for the same parts."""

    def __init__(
        self, world: World, asked: Asked, pulled: Pulled, tiers: Sequence[Tier], at: Mapping[str, Sequence[Piece]]
    ) -> None:
        self._asked, self._pulled, self._at = asked, pulled, at
        self._floors = asked.floors(*tiers)
        self._promises_spread = "usual" in tiers
        self._worn = worn(world)
        self._holds: dict[str, Holds] = {"new": low, "worn": self._worn, "tight": high}
        self._n: dict[tuple[PullName, str, Parts], float] = {}
        self._held: dict[Floor, Known] = {floor: Known() for floor in self._floors}
        self._too_firm = Known()

    def missed(self, mix: Mix) -> Misses:
        """The rules of hold that a mix breaks."""
        missed = {floor.code: self._short(mix, floor) for floor in self._floors if not self._is_held(mix, floor)}
        if self._promises_spread:
            missed |= dict.fromkeys(self._unspread(mix), 0)
        most = self._asked.peel_n
        if most is not None and self._too_firm.holds(parts_of(mix), lambda: self.peel_n(mix) > most + TOLERANCE):
            missed["peel"] = percent(self.peel_n(mix) - most, most)
        return missed

    def pull_n(self, mix: Mix, name: PullName, condition: str = "new") -> float:
        """What a pull takes."""
        key = name, condition, parts_of(mix)
        if key not in self._n:
            self._n[key] = self._pulled.held_n(mix, name, self._holds[condition])
        return self._n[key]

    def peel_n(self, mix: Mix) -> float:
        """The easiest edge, every retention at its high end."""
        return min(self.pull_n(mix, name, "tight") for name in FINGERS)

    def grip(self, mix: Mix) -> int:
        """The least of the pulls that a tier asks, as fitted, whole hundredths of a newton."""
        return int(100 * min(self.pull_n(mix, name) for name in FLOORS) + 1e-3)

    def most_grip(self, mix: Mix) -> int:
        """No pull takes more than all parts together."""
        return int(100 * _sum(mix, low) + 1e-3)

    def _is_held(self, mix: Mix, floor: Floor) -> bool:
        condition = "worn" if floor.worn else "new"
        if _sum(mix, self._holds[condition]) < floor.least_n - TOLERANCE:
            return False
        enough: Callable[[], bool] = lambda: self.pull_n(mix, floor.pull, condition) >= floor.least_n - TOLERANCE  # noqa: E731
        return self._held[floor].holds(parts_of(mix), enough)

    def _short(self, mix: Mix, floor: Floor) -> int:
        have = self.pull_n(mix, floor.pull, "worn" if floor.worn else "new")
        return percent(floor.least_n - have, floor.least_n)

    def _unspread(self, mix: Mix) -> list[str]:
        spread, even = self._asked.spread, self._asked.even
        if not spread and not even:
            return []
        sides = [self.pull_n(mix, side) for side in ("left", "right")]
        bar_off = any(piece.site.kind == "support" for piece in mix)
        least_n = spread * self.best_shares[bar_off] * _sum(mix, low)
        missed = {"spread": min(sides) < least_n - TOLERANCE, "even": min(sides) < even * max(sides) - TOLERANCE}
        return [code for code, misses in missed.items() if misses]

    @cached_property
    def best_shares(self) -> tuple[float, float]:
        """The most of all retention that a side could take, with the bar on and with it off, nothing given up."""
        usable = [
            [p for pieces in self._at.values() for p in pieces if (p.site.kind == "support") is off and not p.broken]
            for off in (False, True)
        ]
        on, off = (
            self._pulled.best_share([spot for piece in pieces if low(piece) > 0 for spot in piece.spots])
            for pieces in usable
        )
        return on, off


def _sum(mix: Sequence[Piece], holds: Holds) -> float:
    return sum(len(piece.spots) * holds(piece) for piece in mix)
