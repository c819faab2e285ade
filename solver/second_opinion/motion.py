"""How a mix moves and holds, by scipy's linprog alone.

Every part of a mix only takes movement away: what binds is remembered for larger mixes, what is free for smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
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

Box: TypeAlias = tuple[Vector, float, float]
"""A row of local motion on (w, t), and how far it goes down and up."""

Way: TypeAlias = Callable[[float, float, bool], float]
"""How far a component goes that has a freedom and a play; True for the way up."""

GIVES = 0.5
"""Least share of the settling that a part gives in kind (chosen)."""

BEYOND_PLAY = 1e-9
"""What passes the play by no more is no freedom, mm or rad."""


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
        """Largest share of the settling that some motion of the base reaches."""
        return self._share([box for piece in mix for part in self._boxes(piece, _as_given) for box in part], name)

    def verdict(self, mix: Sequence[Piece], name: str, gives: float = GIVES) -> str:
        """`moves`, `bottoms`, `stands` or `fights`: how the parts of a mix agree under a demand."""
        whole = [box for piece in mix for part in self._boxes(piece, _upwards) for box in part]
        if self._share(whole, name) >= 1 - TOLERANCE:
            return "moves"
        parts = [part for piece in mix for part in self._boxes(piece, _in_kind)]
        if self._share([box for part in parts for box in part], name) >= gives - TOLERANCE:
            return "bottoms"
        return "fights" if any(self._share(part, name) >= gives - TOLERANCE for part in parts) else "stands"

    def _share(self, boxes: Iterable[Box], name: str) -> float:
        """The largest share within these boxes; unknowns w (rad), t (mm), share."""
        rows: list[Vector] = []
        limits: list[float] = []
        for row, down, up in boxes:
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

    def _boxes(self, piece: Piece, way: Way) -> Iterator[list[Box]]:
        """The boxes of every part of a piece, `way` saying how far each component goes."""
        moves = piece.attachment.movement
        a, across, v = piece.site.axes
        far, turned = self.play.mm, float(np.radians(self.play.deg))
        for at in piece.spots:
            boxes: list[Box] = []
            lengths: list[tuple[Vector, object, object, bool]] = [
                (a, moves.slide_mm, moves.slide_mm, False),
                (across, moves.sideways_mm, moves.sideways_mm, False),
                (v, moves.down_mm, moves.up_mm, True),
            ]
            for axis, down, up, lifts in lengths:
                row = np.concatenate([np.cross(at, axis), axis])
                boxes.append((row, way(_mm(down), far, False), way(_mm(up), far, lifts)))
            for axis, turn in ((a, moves.hinge_deg), (across, moves.tip_deg), (v, moves.turn_deg)):
                most = way(float(np.radians(_mm(turn))), turned, False)
                boxes.append((np.concatenate([axis, np.zeros(3)]), most, most))
            yield boxes


def _as_given(freedom: float, play: float, _: bool) -> float:
    return max(freedom, play)


def _upwards(freedom: float, play: float, lifts: bool) -> float:
    """Retention resists what lifts a part, no stop does."""
    return inf if lifts else max(freedom, play)


def _in_kind(freedom: float, play: float, lifts: bool) -> float:
    return inf if lifts or freedom > play + BEYOND_PLAY else play


def _mm(given: object) -> float:
    return inf if given == "free" else float(given or 0)  # type: ignore[arg-type]
