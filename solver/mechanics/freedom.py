"""What movement a mix has left: how much of each attachment's own freedom, and the level on the published scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from catalogue.models import Play
from solver.case.base import Base
from solver.case.layout import Vector
from solver.mechanics.movement import MovementModel, Reach, sinking_row
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Component, Placement, play_box

FREE_SHARE = 0.5
"""A motion counts as free when the base edge goes at least half the settling; our own threshold, no source."""


class Level(IntEnum):
    """Prosthesis movement (Misch, Dental Implant Prosthetics, overdenture chapters; recalled from memory).

    There is no 1 and no 5. How the levels are read from computed motions is ours: see `level_of`.
    """

    NONE = 0
    HINGE = 2
    HINGE_AND_APICAL = 3
    FOUR_DIRECTIONS = 4
    ALL = 6


@dataclass(frozen=True, slots=True)
class FreedomUse:
    """One free component of one part: its own range and what the rest of the mix leaves of it (mm or deg)."""

    site: str
    component: Component
    unit: str
    own: tuple[float, float]
    left: tuple[float, float]

    @property
    def share(self) -> float:
        """Part of the own range that is left, 0..1."""
        own = self.own[1] - self.own[0]
        return min(1.0, (self.left[1] - self.left[0]) / own) if own else 1.0


def freedom_use(model: MovementModel, placements: Sequence[Placement], play: Play) -> tuple[FreedomUse, ...]:
    """Every component that is freer than the small play, with what the whole mix leaves of it."""
    small = play_box(play).tolist()
    freer = [
        (placement, index, (least, most))
        for placement in placements
        for index, (least, most) in enumerate(zip(placement.least.tolist(), placement.most.tolist(), strict=True))
        if most < FREE and most - least > 2.5 * small[index]
    ]
    ranges = model.ranges_of(placements, [placement.rows[index] for placement, index, _ in freer])
    return tuple(
        _use(placement.site, index, own, left) for (placement, index, own), left in zip(freer, ranges, strict=True)
    )


def _use(site: str, index: int, own: tuple[float, float], left: tuple[float, float]) -> FreedomUse:
    turn = index >= 3
    return FreedomUse(site, COMPONENTS[index], "deg" if turn else "mm", _shown(own, turn), _shown(left, turn))


def level_of(
    model: MovementModel,
    placements: Sequence[Placement],
    base: Base,
    out: Vector,
    settling_mm: float,
    reaches: Sequence[Reach],
) -> Level:
    """The level of a whole mix.

    Apical: the whole base sinks. Hinge: both saddles sink against the front. Four directions: each saddle sinks
    against the other as well. All: the base turns about the path of insertion as well, either way.
    """
    left, right, front = (sinking_row(p, out) for p in (base.left, base.right, base.front))
    free_mm = FREE_SHARE * settling_mm
    apical = next(r.reach for r in reaches if r.demand == "whole") >= FREE_SHARE
    radius_mm = float(np.linalg.norm(base.left - base.right)) / 2
    about_out = np.concatenate([out * radius_mm / LENGTH_MM, np.zeros(3)])
    hinges, rolls, turns = model.ranges_of(placements, [(left + right) / 2 - front, left - right, about_out])
    hinge, roll, turn = hinges[1] >= free_mm, _both_ways(rolls) >= free_mm, _both_ways(turns) >= free_mm
    if not hinge:
        return Level.NONE
    if not apical:
        return Level.HINGE
    if not roll:
        return Level.HINGE_AND_APICAL
    return Level.ALL if turn else Level.FOUR_DIRECTIONS


def _both_ways(span: tuple[float, float]) -> float:
    """How far a motion goes at least, to one side and to the other."""
    return min(-span[0], span[1])


def _shown(span: tuple[float, float], turn: bool) -> tuple[float, float]:
    """Scaled millimetres back to degrees where the component is a turn."""
    return (float(np.degrees(span[0] / LENGTH_MM)), float(np.degrees(span[1] / LENGTH_MM))) if turn else span
