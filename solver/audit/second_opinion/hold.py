"""What a mix takes where it is pulled, against what is asked: floors, spread, evenness and the hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from typing import TypeAlias

from solver.audit.second_opinion.asked import Asked, Floor, Tier, percent
from solver.audit.second_opinion.known import Known, Parts, parts_of
from solver.audit.second_opinion.pieces import TOLERANCE, Piece
from solver.audit.second_opinion.pulled import FINGERS, FLOORS, SIDES, Field, Holds, Pulled, high, low, worn
from solver.audit.second_opinion.world import World
from solver.case.schema import PullName

Mix: TypeAlias = Sequence[Piece]
Misses: TypeAlias = dict[str, int]
"""Codes of rules that are broken, each with by how much of its limit, per cent; 0 for a rule of yes or no."""


class Pulls:
    """The pulls of one case; each is worked out once for the same parts, and its lift bounds those of others."""

    def __init__(self, world: World, pulled: Pulled, at: Mapping[str, Sequence[Piece]]) -> None:
        self._pulled, self._at = pulled, at
        self._holds: dict[str, Holds] = {"new": low, "worn": worn(world), "tight": high}
        self._n: dict[tuple[PullName, str, Parts], float] = {}
        self._lifted: dict[PullName, dict[Field, dict[tuple[str, str, int], float]]] = {}

    def n(self, mix: Mix, name: PullName, condition: str = "new") -> float:
        """What a pull takes."""
        key = name, condition, parts_of(mix)
        if key not in self._n:
            self._n[key], field = self._pulled.pull(mix, name, self._holds[condition])
            self._lifted.setdefault(name, {}).setdefault(field, {})
        return self._n[key]

    def most_n(self, mix: Mix, name: PullName, condition: str = "new") -> float:
        """A bound of it: nothing takes more than all parts together, nor than a lift that is known lets it."""
        held = [(piece, self._holds[condition](piece)) for piece in mix]
        lifts = self._lifted.get(name, {}).items()
        return min(
            (sum(each_n * _lifted(piece, field, known) for piece, each_n in held) for field, known in lifts),
            default=self.sum_n(mix, condition),
        )

    def sum_n(self, mix: Mix, condition: str = "new") -> float:
        """All parts together."""
        return sum(len(piece.spots) * self._holds[condition](piece) for piece in mix)

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


def _lifted(piece: Piece, field: Field, known: dict[tuple[str, str, int], float]) -> float:
    """By how much a field lifts the parts of a piece, together."""
    if piece.moves_as not in known:
        c0, cx, cy = field
        known[piece.moves_as] = sum(max(0.0, c0 + cx * x + cy * y) for x, y, _ in piece.spots)
    return known[piece.moves_as]


class Hold:
    """The rules of hold of one case, with the promise of some tiers."""

    def __init__(self, asked: Asked, pulls: Pulls, tiers: Sequence[Tier]) -> None:
        self._asked, self.pulls = asked, pulls
        self._floors = asked.floors(*tiers)
        usual = "usual" in tiers
        self._spread, self._even = (asked.spread, asked.even) if usual else (0.0, 0.0)
        self._held: dict[Floor, Known] = {floor: Known() for floor in self._floors}
        self._too_firm = Known()

    @property
    def stages(self) -> Iterator[Callable[[Mix], Misses]]:
        """The rules one by one; first what follows from pulls that are known."""
        yield self._bounded
        for floor in self._floors:
            yield partial(self._short, floor)
        yield self._unspread
        yield self._firm

    def peel_n(self, mix: Mix) -> float:
        """The easiest edge, every retention at its high end."""
        return min(self.pulls.n(mix, name, "tight") for name in FINGERS)

    def grip(self, mix: Mix) -> int:
        """The least of the pulls that a tier asks, as fitted, whole hundredths of a newton."""
        return int(100 * min(self.pulls.n(mix, name) for name in FLOORS) + 1e-3)

    def most_grip(self, mix: Mix) -> int:
        """A bound of it."""
        return int(100 * min(self.pulls.most_n(mix, name) for name in FLOORS) + 1e-3)

    def _bounded(self, mix: Mix) -> Misses:
        """Floors that are missed by as much at the least."""
        most = {floor: self.pulls.most_n(mix, floor.pull, floor.condition) for floor in self._floors}
        return {
            floor.code: percent(floor.least_n - most_n, floor.least_n)
            for floor, most_n in most.items()
            if most_n < floor.least_n - 2 * TOLERANCE
        }

    def _short(self, floor: Floor, mix: Mix) -> Misses:
        enough = floor.least_n - TOLERANCE
        if self._held[floor].holds(parts_of(mix), lambda: self.pulls.n(mix, floor.pull, floor.condition) >= enough):
            return {}
        return {floor.code: percent(floor.least_n - self.pulls.n(mix, floor.pull, floor.condition), floor.least_n)}

    def _unspread(self, mix: Mix) -> Misses:
        if not self._spread and not self._even:
            return {}
        weaker, stronger = sorted(self.pulls.n(mix, side) for side in SIDES)
        bar_off = any(piece.site.kind == "support" for piece in mix)
        least_n = self._spread * self.pulls.best_shares[bar_off] * self.pulls.sum_n(mix)
        missed = {"spread": weaker < least_n - TOLERANCE, "even": weaker < self._even * stronger - TOLERANCE}
        return {code: 0 for code, misses in missed.items() if misses}

    def _firm(self, mix: Mix) -> Misses:
        most = self._asked.peel_n
        if most is None or min(self.pulls.most_n(mix, name, "tight") for name in FINGERS) <= most:
            return {}
        firm = self._too_firm.holds(parts_of(mix), lambda: self.peel_n(mix) > most + TOLERANCE)
        return {"peel": percent(self.peel_n(mix) - most, most)} if firm else {}
