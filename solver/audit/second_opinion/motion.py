"""How a mix moves, by scipy's linprog alone.

Every part of a mix only takes movement away: what binds is remembered for larger mixes, what is free for smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import inf
from typing import TypeAlias

import numpy as np

from solver.audit.second_opinion.known import Known, parts_of
from solver.audit.second_opinion.pieces import TOLERANCE, Piece
from solver.audit.second_opinion.places import Map, Vector, settling_mm
from solver.audit.second_opinion.pulled import Pulled
from solver.audit.second_opinion.world import World
from solver.case.schema import DEMANDS, DemandName

SINKING = {"whole": ("front", "left", "right"), "front": ("front",), "left": ("left",), "right": ("right",)}
"""Points of the base that each demand asks to sink."""

Box: TypeAlias = tuple[Vector, float, float]
"""A row of local motion on (w, t), and how far it goes down and up."""

Way: TypeAlias = Callable[[float, float, bool], float]
"""How far a component goes that has a freedom and a play; True for the way up."""

BEYOND_PLAY = 1e-9
"""What passes the play by no more is no freedom, mm or rad."""


class Motion:
    """Demands of one case."""

    def __init__(self, world: World) -> None:
        from scipy.optimize import linprog  # noqa: PLC0415 - half a second; only where needed

        self.world, self.map, self._linprog = world, Map(world), linprog
        self.pulled = Pulled(self.map)
        self.play = world.catalogue.defaults.play
        self.settling_mm = settling_mm(world)
        self.gives = world.catalogue.defaults.preferences.in_kind.value
        self.shares = {name: share for name, share in world.case.wanted.movement.items() if share > 0}
        self._binding: dict[str, Known] = {name: Known() for name in DEMANDS}
        self._blocked: dict[str, Known] = {name: Known() for name in DEMANDS}
        self._boxed: dict[tuple[object, ...], list[list[Box]]] = {}
        self._alone: dict[tuple[object, ...], frozenset[bool]] = {}

    def binds(self, mix: Sequence[Piece], name: DemandName) -> bool:
        """True where the base misses the share of a demand that the case asks."""
        share = self.shares.get(name, 0.0)
        if share <= 0:
            return False
        return self._binding[name].holds(parts_of(mix), lambda: self.reach(mix, name) < share - TOLERANCE)

    def reach(self, mix: Sequence[Piece], name: str) -> float:
        """Largest share of the settling that some motion of the base reaches."""
        return self._share([box for piece in mix for part in self._boxes(piece, _as_given) for box in part], name)

    def verdict(self, mix: Sequence[Piece], name: str) -> str:
        """`moves`, `bottoms`, `stands` or `fights`: how the parts of a mix agree under a demand."""
        whole = [box for piece in mix for part in self._boxes(piece, _upwards) for box in part]
        if self._share(whole, name) >= 1 - TOLERANCE:
            return "moves"
        parts = [part for piece in mix for part in self._boxes(piece, _in_kind)]
        if self._share([box for part in parts for box in part], name) >= self.gives - TOLERANCE:
            return "bottoms"
        return "fights" if any(self._share(part, name) >= self.gives - TOLERANCE for part in parts) else "stands"

    def kind(self, mix: Sequence[Piece], name: str) -> str:
        """`fights`, `stands`, or `gives` where the verdict is a better one; what is known already is not asked again.

        All parts in kind reach no farther than any of them alone, and what sinks all points sinks each.
        """
        alone = frozenset[bool]().union(*(self._each_alone(piece, name) for piece in mix))
        if alone == {False}:
            return "stands"
        if alone == {True, False}:
            return "fights"
        if not alone or (name != "whole" and self.kind(mix, "whole") == "gives"):
            return "gives"

        def blocked() -> bool:
            boxes = [box for piece in mix for part in self._boxes(piece, _in_kind) for box in part]
            return self._share(boxes, name) < self.gives - TOLERANCE

        return "fights" if self._blocked[name].holds(parts_of(mix), blocked) else "gives"

    def _each_alone(self, piece: Piece, name: str) -> frozenset[bool]:
        """Whether its parts give in kind, each with nothing else fitted: all, none or some of them."""
        key = *piece.moves_as, name
        if key not in self._alone:
            parts = self._boxes(piece, _in_kind)
            self._alone[key] = frozenset(self._share(part, name) >= self.gives - TOLERANCE for part in parts)
        return self._alone[key]

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

    def _boxes(self, piece: Piece, way: Way) -> list[list[Box]]:
        """The boxes of every part of a piece, `way` saying how far each component goes."""
        key = *piece.moves_as, way
        if key not in self._boxed:
            self._boxed[key] = list(self._boxes_anew(piece, way))
        return self._boxed[key]

    def _boxes_anew(self, piece: Piece, way: Way) -> Iterator[list[Box]]:
        moves, axes = piece.attachment.movement, piece.site.axes
        far, turned = self.play.mm, float(np.radians(self.play.deg))
        lengths = (
            (moves.slide_mm, moves.slide_mm, False),
            (moves.sideways_mm, moves.sideways_mm, False),
            (moves.down_mm, moves.up_mm, True),
        )
        about = (moves.hinge_deg, moves.tip_deg, moves.turn_deg)
        turns = [way(float(np.radians(_mm(degrees))), turned, False) for degrees in about]
        for at in piece.spots:
            rows = np.hstack([np.cross(at, axes), axes])
            boxes = [
                (row, way(_mm(down), far, False), way(_mm(up), far, lifts))
                for row, (down, up, lifts) in zip(rows, lengths, strict=True)
            ]
            turning = np.hstack([axes, np.zeros((3, 3))])
            yield boxes + [(row, most, most) for row, most in zip(turning, turns, strict=True)]


def _as_given(freedom: float, play: float, _: bool) -> float:
    return max(freedom, play)


def _upwards(freedom: float, play: float, lifts: bool) -> float:
    """Retention resists what lifts a part, no stop does."""
    return inf if lifts else max(freedom, play)


def _in_kind(freedom: float, play: float, lifts: bool) -> float:
    return inf if lifts or freedom > play + BEYOND_PLAY else play


def _mm(given: object) -> float:
    return inf if given == "free" else float(given or 0)  # type: ignore[arg-type]
