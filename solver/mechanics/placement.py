"""One attachment part in its place: a point, its local axes, and the box of motion it allows there.

Scaled twist z = (LENGTH_MM * w, t): all six unknowns are millimetres of like size. Local components in the order of
`COMPONENTS`: three lengths along a, l, v and three turns about them (times LENGTH_MM). Formulas: docs/mechanics.md.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from catalogue.blocks import Movement
from catalogue.models import Play
from solver.case.layout import Vector
from solver.fit.candidate import Candidate
from solver.mechanics.screws import cross_matrix

Array = NDArray[np.float64]

Component: TypeAlias = Literal["slide", "sideways", "vertical", "hinge", "tip", "turn"]
COMPONENTS: tuple[Component, ...] = ("slide", "sideways", "vertical", "hinge", "tip", "turn")

LENGTH_MM = 10.0
"""Characteristic length that makes turns comparable with lengths."""

FREE = 1e3
"""Limit that stands for free, mm: far beyond any motion that the mucosa leaves."""

BEYOND_PLAY_MM = 1e-9
"""A limit that passes the play by no more than this is the play."""

_UP = COMPONENTS.index("vertical")


def _no_play() -> Array:
    return np.zeros(6)


@dataclass(frozen=True, eq=False)
class Placement:
    """A part at a point. `least` and `most` (6,) box its scaled local components, mm.

    `play` (6,) is what a component keeps to each side where nothing is free.
    """

    site: str
    at: Vector
    axes: Array
    least: Array
    most: Array
    play: Array = field(default_factory=_no_play)

    @cached_property
    def rows(self) -> Array:
        """(6, 6) matrix from the scaled twist to the scaled local components."""
        moment = -self.axes @ cross_matrix(self.at) / LENGTH_MM
        rows = np.zeros((6, 6))  # filled by hand: `np.block` takes five times as long
        rows[:3, :3], rows[:3, 3:], rows[3:, :3] = moment, self.axes, self.axes
        return rows

    @cached_property
    def place(self) -> tuple[str, tuple[float, ...]]:
        """Equal for parts that share a site and a point."""
        return self.site, tuple(round(each, 6) for each in self.at.tolist())

    @cached_property
    def manner(self) -> bytes:
        """Equal for parts that may move as far in every component."""
        return self.least.tobytes() + self.most.tobytes()

    @cached_property
    def actual(self) -> Placement:
        """The part as it is, but free to go up: what lifts it is resisted by its retention, not by a stop."""
        return self._within(self.least, self.most)

    @cached_property
    def in_kind(self) -> Placement:
        """The part by kind: free wherever it may go beyond the play, each way by itself, and free to go up."""
        beyond = self.play + BEYOND_PLAY_MM
        return self._within(
            np.where(self.least < -beyond, -FREE, self.least), np.where(self.most > beyond, FREE, self.most)
        )

    def _within(self, least: Array, most: Array) -> Placement:
        lifted = most.copy()
        lifted[_UP] = FREE
        return replace(self, least=least, most=lifted)


def placements_of(candidate: Candidate, play: Play) -> tuple[Placement, ...]:
    """Every part of a candidate in its place."""
    return Places(play).of(candidate)


class Places:
    """The parts of candidates in their places, the same object for all that stand and move alike at a site."""

    def __init__(self, play: Play) -> None:
        self._play = play
        self._known: dict[tuple[object, ...], tuple[Placement, ...]] = {}

    def of(self, candidate: Candidate) -> tuple[Placement, ...]:
        """Every part of a candidate in its place."""
        site, attachment = candidate.site, candidate.attachment
        if attachment.kind == "bare":
            return ()
        pitch = (attachment.length_mm or 0.0) + attachment.spacing_mm
        least, most = box_of(attachment.movement, self._play)
        small = play_box(self._play)
        alike = site.id, candidate.count, pitch, least.tobytes(), most.tobytes()
        if alike not in self._known:
            axes = np.array([site.frame.a, site.frame.l, site.frame.v])
            spots = site.spread(candidate.count, pitch)
            self._known[alike] = tuple(Placement(site.id, at, axes, least, most, small) for at in spots)
        return self._known[alike]


@lru_cache(maxsize=1024)  # a catalogue is asked for at every site
def box_of(movement: Movement, play: Play) -> tuple[Array, Array]:
    """Least and most (6,) of the scaled local components; where nothing is free the small play is left."""

    def length(given: float | str | None) -> float:
        return FREE if given == "free" else max(float(given or 0.0), play.mm)

    def turn(given: float | str | None) -> float:
        return FREE if given == "free" else LENGTH_MM * float(np.radians(max(float(given or 0.0), play.deg)))

    sides = [length(movement.slide_mm), length(movement.sideways_mm)]
    turns = [turn(movement.hinge_deg), turn(movement.tip_deg), turn(movement.turn_deg)]
    least, most = (
        -np.array([*sides, length(movement.down_mm), *turns]),
        np.array([*sides, length(movement.up_mm), *turns]),
    )
    for box in (least, most):
        box.setflags(write=False)  # kept, and given out to many
    return least, most


@lru_cache(maxsize=64)
def play_box(play: Play) -> Array:
    """The play (6,) to each side of the scaled local components."""
    return box_of(Movement(source=play.source), play)[1]
