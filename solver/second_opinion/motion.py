"""How a mix moves and holds, by scipy's linprog alone.

Every part of a mix only takes movement away: what binds is remembered for larger mixes, what is free for smaller.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import TypeAlias

import numpy as np

from solver.case import DEMANDS
from solver.second_opinion.pieces import TOLERANCE, Piece
from solver.second_opinion.places import Map, Vector, settling_mm
from solver.second_opinion.pulled import Pulled
from solver.second_opinion.world import World

SINKING = {"whole": ("front", "left", "right"), "front": ("front",), "left": ("left",), "right": ("right",)}
"""Points of the base that each demand asks to sink."""

Parts: TypeAlias = frozenset[tuple[str, str, int]]
"""Which attachment, how often, at which site."""


class Motion:
    """Demands and pulls of one case."""

    def __init__(self, world: World) -> None:
        from scipy.optimize import linprog  # noqa: PLC0415 - half a second; only where needed

        self.world, self.map, self._linprog = world, Map(world), linprog
        self.pulled = Pulled(self.map)
        self.play = world.catalogue.defaults.play
        self.settling_mm = settling_mm(world)
        given = world.case.wanted.movement
        self.shares = {name: given.get(name, 1.0) for name in DEMANDS}
        self._binding: dict[str, list[Parts]] = {name: [] for name in DEMANDS}
        self._free: dict[str, list[Parts]] = {name: [] for name in DEMANDS}

    def binds(self, mix: Sequence[Piece], name: str) -> bool:
        """True where the base misses its share of a demand; a mix binds where a part of it does."""
        share = float(self.shares[name])  # type: ignore[index]
        parts = frozenset(piece.moves_as for piece in mix)
        if share <= 0 or any(parts <= larger for larger in self._free[name]):
            return False
        if any(smaller <= parts for smaller in self._binding[name]):
            return True
        found = self.reach(mix, name) < share - TOLERANCE
        (self._binding if found else self._free)[name].append(parts)
        return found

    def free(self, mix: Sequence[Piece], given_up: frozenset[str] = frozenset()) -> bool:
        """True where no demand binds, but for those given up."""
        return not any(self.binds(mix, name) for name in DEMANDS if f"moves:{name}" not in given_up)

    def reach(self, mix: Sequence[Piece], name: str) -> float:
        """Largest share of the settling that some motion of the base reaches; unknowns w (rad), t (mm), share."""
        rows: list[Vector] = []
        limits: list[float] = []
        for piece in mix:
            for row, down, up in self._boxes(piece):
                for sign, limit in ((-1.0, down), (1.0, up)):
                    if limit < inf:
                        rows.append(np.append(sign * row, 0.0))
                        limits.append(limit)
        for point, at in self.map.base.items():
            sinks = np.concatenate([-np.cross(at, self.map.out), -self.map.out])
            rows.append(np.append(sinks, 0.0))
            limits.append(self.settling_mm)
            if point in SINKING[name]:
                rows.append(np.append(-sinks, self.settling_mm))
                limits.append(0.0)
        bounds = [(None, None)] * 6 + [(0, 1)]
        found = self._linprog([0] * 6 + [-1], A_ub=np.array(rows), b_ub=limits, bounds=bounds, method="highs")
        return float(-found.fun)

    def weak(self, mix: Sequence[Piece], name: str) -> bool:
        """True where a pull that is asked for lifts the denture: retentions hold, contacts only push."""
        least = self.world.case.wanted.pull_n.get(name, 0.0)  # type: ignore[call-overload]
        return bool(least > 0 and self.held_n(mix, name) < least - TOLERANCE)

    def held_n(self, mix: Sequence[Piece], name: str) -> float:
        """Largest pull at a point that the low ends of all retentions balance."""
        return self.pulled.held_n(mix, name)

    def _boxes(self, piece: Piece) -> Iterator[tuple[Vector, float, float]]:
        """Rows of local motion on (w, t) with how far each goes down and up, for every part of a piece."""
        moves = piece.attachment.movement
        a, across, v = piece.site.axes
        for at in piece.spots:
            lengths: list[tuple[Vector, object, object]] = [
                (a, moves.slide_mm, moves.slide_mm),
                (across, moves.sideways_mm, moves.sideways_mm),
                (v, moves.down_mm, moves.up_mm),
            ]
            for axis, down, up in lengths:
                row = np.concatenate([np.cross(at, axis), axis])
                yield row, _limit(down, self.play.mm), _limit(up, self.play.mm)
            for axis, turn in ((a, moves.hinge_deg), (across, moves.tip_deg), (v, moves.turn_deg)):
                most = float(np.radians(_limit(turn, self.play.deg)))
                yield np.concatenate([axis, np.zeros(3)]), most, most


def _limit(given: object, play: float) -> float:
    return inf if given == "free" else max(float(given or 0), play)  # type: ignore[arg-type]
