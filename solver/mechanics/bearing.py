"""How a bite on the denture is shared between the mucosa under it and the parts that hold it.

The base is rigid; its six unknowns of motion are those of `solver.mechanics.movement`. The mucosa is three rows of
springs that only push. A part gives no force within its own freedom, and is a stiff spring beyond it. It presses
with any force, at its middle or at an end; it holds back what lifts it with its retention, and what tips it along
the bar with the retention times half its length. Of all forces in equilibrium the true ones make the complementary
energy least

    sum n^2 / 2k  +  sum f^2 / 2k + gap f  +  q C q / 2        (n, f >= 0; f <= what a part holds)

with q the loads of the parts on the bar and C how far it gives under them (`solver.mechanics.bar_frame`): a
convex quadratic programme whose duals are the motion (principle of Haar and von Karman; memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from solver.case.base import Base
from solver.case.layout import Vector
from solver.handbook.point import PointLoad
from solver.mechanics.movement import sinking_row
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Array, Placement
from solver.mechanics.qp import QuadraticProgram

STATIONS = 33
"""Places along the ridge at which springs stand for the mucosa."""

ACROSS = 1 / 6, 4 / 6, 1 / 6
"""What the border, the ridge and the inner edge bear of a strip of even width (Simpson's rule, exact for a tilt)."""

_VERTICAL, _TIP = COMPONENTS.index("vertical"), COMPONENTS.index("tip")
_SCALE = np.repeat([LENGTH_MM, 1.0], 3)


class Bed(NamedTuple):
    """Mucosa: points (m, 3), and the share of the whole stiffness at each (m,)."""

    points: Array
    shares: Array


class Part(NamedTuple):
    """A part in its place, and half its length along the bar; 0 where it bears at one point."""

    placement: Placement
    half_mm: float


class Stiffness(NamedTuple):
    """N/mm: of the whole bed, and of a part once a freedom of it is used up (of a turn at 10 mm from its axis)."""

    bed_n_per_mm: float
    part_n_per_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Bearing:
    """What bears a bite: the force of each spring of the bed (m,), N, and the wrench (m, f) on each part.

    A force presses where it is above zero. `part_wrenches` (k, 6): about the origin, N mm and N. `bar_loads` (3k,):
    force along z and moments about x and y, each part at its own place.
    """

    mucosa_n: Array
    part_wrenches: Array
    bar_loads: Array


def bed_along(base: Base, stations: int = STATIONS) -> Bed:
    """A bed of even width under a base, from heel to heel: springs on the ridge, outside it and as far inside."""
    ridge, border = np.array(base.ridge), np.array(base.border)
    along_mm = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(ridge, axis=0), axis=1)))
    at_mm = np.linspace(0.0, along_mm[-1], stations)
    lengths = np.ones(stations)
    lengths[[0, -1]] = 0.5  # half a stretch each
    lines = (border, ridge, 2 * ridge - border)
    points = [np.column_stack([np.interp(at_mm, along_mm, column) for column in line.T]) for line in lines]
    shares = np.outer(ACROSS, lengths).ravel()
    return Bed(np.vstack(points), shares / shares.sum())


class BearingModel:
    """The quadratic programme of one bed and its parts; bites, stiffness and retention may change."""

    def __init__(self, bed: Bed, parts: Sequence[Part], out: Vector) -> None:
        self._bed, self._out = bed, out
        stops = [_stops(part) for part in parts]
        springs = np.array([sinking_row(at, out) for at in bed.points])
        self._rows = np.vstack([springs, *(stop.rows for stop in stops)]).T
        gaps = np.concatenate([np.zeros(len(springs)), *(stop.gaps_mm for stop in stops)])
        holds = np.concatenate([np.full(len(springs), np.inf), *(stop.holds for stop in stops)])
        self._ends = np.cumsum([len(springs), *(len(stop.gaps_mm) for stop in stops)])
        self._limited = np.flatnonzero(np.isfinite(holds))
        self._holds = holds[self._limited]
        self._part = np.searchsorted(self._ends, self._limited, side="right") - 1
        self._loads = np.zeros((3 * len(parts), len(gaps)))
        for number, (part, span) in enumerate(zip(parts, self._spans, strict=True)):
            self._loads[3 * number : 3 * number + 3, span] = _on_bar(part.placement.at) @ self._rows[:, span]
        self._programme = QuadraticProgram(gaps, self._rows, self._limited)

    @property
    def _spans(self) -> list[slice]:
        """The stops of every part."""
        return [slice(*span) for span in zip(self._ends, self._ends[1:], strict=False)]

    def bear(
        self,
        presses: Sequence[PointLoad],
        stiffness: Stiffness,
        retentions_n: Sequence[float],
        gives: Array | None = None,
    ) -> Bearing:
        """Forces under presses at the height of the crest; one retention for each part.

        `gives` (3k, 3k) is how far the places of the parts move under loads on them; left out, not at all.

        Raises:
            InternalFault: where a press lies beyond what bed and parts can balance.
        """
        count = len(self._bed.points)
        softness = np.full(self._rows.shape[1], 1.0 / stiffness.part_n_per_mm)
        softness[:count] = 1.0 / (self._bed.shares * stiffness.bed_n_per_mm)
        places = (np.array([press.x_mm, press.y_mm, 0.0]) for press in presses)
        asked = [p.force_n * sinking_row(at, self._out) for p, at in zip(presses, places, strict=True)]
        most = self._holds * np.asarray(retentions_n, dtype=float)[self._part]
        products = np.diag(softness)
        if gives is not None:
            products += self._loads.T @ gives @ self._loads
        forces = self._programme.least(products, np.sum(asked, axis=0), most)
        wrenches = [self._rows[:, span] @ forces[span] * _SCALE for span in self._spans]
        return Bearing(forces[:count], np.array(wrenches).reshape(-1, 6), self._loads @ forces)


class _Stops(NamedTuple):
    """One row for each way in which a part comes to a stop, how far it goes, and what it holds per N of retention."""

    rows: Array
    gaps_mm: Array
    holds: Array


def _stops(part: Part) -> _Stops:
    """Both ways of every component, and both ends pressed down; without those that are free."""
    placement, half = part.placement, part.half_mm / LENGTH_MM
    down, tip = -placement.rows[_VERTICAL], half * placement.rows[_TIP]
    end_mm = -placement.least[_VERTICAL] + half * placement.most[_TIP]
    rows = np.vstack([placement.rows, -placement.rows, down + tip, down - tip])
    gaps = np.concatenate([placement.most, -placement.least, [end_mm, end_mm]])
    holds = np.full(14, np.inf)
    holds[_VERTICAL], holds[[_TIP, 6 + _TIP]] = 1.0, half
    kept = gaps < np.append(np.full(12, FREE), 2 * [FREE if half else 0.0])
    return _Stops(rows[kept], gaps[kept], holds[kept])


def _on_bar(at: Vector) -> Array:
    """(3, 6): force along z and moments about x and y at a place, from a scaled wrench about the origin."""
    x, y, z = at.tolist()
    # moments at the place: m - at x f
    moment_x = [1.0, 0.0, 0.0, 0.0, z, -y]
    moment_y = [0.0, 1.0, 0.0, -z, 0.0, x]
    rows: Array = np.array([[0.0, 0.0, 0.0, 0.0, 0.0, 1.0], moment_x, moment_y]) * _SCALE
    return rows
