"""What pulls a mix takes, how its hold is spread, and how it is peeled off, by scipy's linprog alone.

Retentions hold, contacts only push, along the path of removal.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeAlias

import numpy as np

from solver.audit.second_opinion.pieces import Piece
from solver.audit.second_opinion.places import Map, Vector
from solver.audit.second_opinion.world import World
from solver.case.schema import PullName

FLOORS: tuple[PullName, ...] = ("centre", "left", "right", "front")
"""Pulls that a tier asks."""

SIDES: tuple[PullName, ...] = ("left", "right")

Field: TypeAlias = tuple[float, float, float]
"""Lift c0 + cx x + cy y."""

Holds: TypeAlias = Callable[[Piece], float]
"""What each part of a piece holds, N."""

FINGERS: tuple[PullName, ...] = ("front", "left", "right")
"""Edges at which a denture is taken out."""


def low(piece: Piece) -> float:
    """Counted on."""
    return piece.attachment.retention_n.low


def high(piece: Piece) -> float:
    """To be ready for."""
    return piece.attachment.retention_n.high


def worn(world: World) -> Holds:
    """Counted on when the first renewal is due, or the years of the case end: the middle of loss and of use."""
    a_day = world.case.wanted.insertions_per_day or 4.0

    def holds(piece: Piece) -> float:
        wear, service = piece.attachment.wear, piece.attachment.service
        if wear is None:
            return low(piece)
        months = service.months[0] if service else 12 * world.case.money.years
        lives = a_day * 365 * months / 12 / wear.cycles
        left: float = (1.0 - (wear.loss[0] + wear.loss[1]) / 2) ** lives
        band = piece.attachment.retention_n
        return min(band.low, (band.low + band.high) / 2 * left)

    return holds


class Pulled:
    """The pulls of one case."""

    def __init__(self, found: Map) -> None:
        from scipy.optimize import linprog  # noqa: PLC0415 - half a second; only where needed

        self._linprog, self._map = linprog, found

    def held_n(self, mix: Sequence[Piece], name: str, holds: Holds = low) -> float:
        """Largest pull at a point that the retentions balance."""
        return self.pull(mix, name, holds)[0]

    def pull(self, mix: Sequence[Piece], name: str, holds: Holds = low) -> tuple[float, Field]:
        """The same with the dual: the field by which the denture is lifted then, one at the pull."""
        at, contacts = self._at(name), self._contacts()
        held = [(spot, holds(piece)) for piece in mix for spot in piece.spots]
        columns = [(1.0, *spot[:2]) for spot, _ in held] + [(-1.0, -spot[0], -spot[1]) for spot in contacts]
        bounds: list[tuple[float, float | None]] = [(0, n) for _, n in held] + [(0, None)] * (len(contacts) + 1)
        balance = np.array([*columns, (-1.0, -at[0], -at[1])]).T
        found = self._linprog([0] * len(columns) + [-1], A_eq=balance, b_eq=[0, 0, 0], bounds=bounds, method="highs")
        c0, cx, cy = (round(float(dual), 9) for dual in found.eqlin.marginals)
        return float(-found.fun), (c0, cx, cy)

    def peel_n(self, mix: Sequence[Piece]) -> float:
        """The easiest edge at the high ends of all retentions."""
        return min(self.held_n(mix, name, high) for name in FINGERS)

    def share(self, mix: Sequence[Piece]) -> float:
        """The weaker side's pull of the sum of retentions, low ends; 0 where nothing holds."""
        total = sum(low(piece) * len(piece.spots) for piece in mix)
        return min(self.held_n(mix, side) for side in SIDES) / total if total else 0.0

    def best_share(self, spots: Sequence[Vector]) -> float:
        """The most of one unit, spread over these spots at will, that either side takes.

        By lift fields: some blend of a field for each side is the least that the best spread is worth.
        """
        if not len(spots):
            return 0.0
        place = np.column_stack([np.ones(len(spots)), np.array(spots)[:, :2]])
        push = np.column_stack([np.ones(len(self._contacts())), np.array([at[:2] for at in self._contacts()])])
        n, zero, one = len(spots), np.zeros_like, np.ones((len(spots), 1))
        # Unknowns: the worth of the best spot, then a field for each side, then what either is worth at each spot.
        eye, none = np.eye(n), np.zeros((n, n))
        rows = np.block([
            [-one, zero(place), zero(place), eye, eye],
            [0 * one, place, zero(place), -eye, none],
            [0 * one, zero(place), place, none, -eye],
            [np.zeros((len(push), 1)), -push, zero(push), np.zeros((len(push), 2 * n))],
            [np.zeros((len(push), 1)), zero(push), -push, np.zeros((len(push), 2 * n))],
        ])  # fmt: skip
        blend = np.array([[0.0, 1.0, *self._at("left")[:2], 1.0, *self._at("right")[:2], *np.zeros(2 * n)]])
        bounds = [(None, None)] * 7 + [(0, None)] * (2 * n)
        cost = np.eye(1, rows.shape[1])[0]
        # A field of negative lift at its pull would be worth less than none: each is at least zero there.
        signs = np.array([
            [0.0, -1.0, *-self._at("left")[:2], 0, 0, 0, *np.zeros(2 * n)],
            [0.0, 0, 0, 0, -1.0, *-self._at("right")[:2], *np.zeros(2 * n)],
        ])  # fmt: skip
        under = np.vstack([rows, signs])
        found = self._linprog(
            cost, A_ub=under, b_ub=np.zeros(len(under)), A_eq=blend, b_eq=[1.0], bounds=bounds, method="highs"
        )
        return float(found.fun)

    def _contacts(self) -> list[Vector]:
        return [*self._map.outline.border, *self._map.supports.values(), *self._map.ends.values()]

    def _at(self, name: str) -> Vector:
        """Where a pull acts: the middle of the three points that sink, one of them, or halfway between the heels."""
        points = {"behind": self._map.outline.heels, "centre": self._map.base}.get(name)
        pulled: Vector = self._map.base[name] if points is None else np.mean(list(points.values()), axis=0)
        return pulled
