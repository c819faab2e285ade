"""How much of all retention a side can count on: the spread of a mix, whatever its parts hold.

The share of a mix is the pull that its weaker side takes, of the sum of its retentions. The best share of some places
is the largest that any distribution of one unit of retention over them allows: one linear programme, since forces in
balance against both pulls may be no larger than the weights, and the weights are free.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from solver.case.layout import Layout
from solver.case.rules import BestShares
from solver.case.schema import PullName
from solver.errors import InternalFault
from solver.handbook.point import Point
from solver.mechanics.lp import INFINITE, Ending, LinearProgram
from solver.mechanics.option import Option
from solver.mechanics.placement import Array
from solver.mechanics.pulls import contact_points, pull_points, seen_from_above

SIDES: tuple[PullName, ...] = ("left", "right")
"""The pulls whose weaker counts."""


@dataclass(frozen=True, slots=True)
class BestShare:
    """The best share of some places, and a distribution of one unit of retention that has it."""

    share: float
    weights: tuple[float, ...]


def best_shares(layout: Layout, options: Iterable[Option]) -> BestShares:
    """The best share of the places where these options have parts that hold."""
    holding = [option for option in options if option.candidate.low_n > 0]
    on, off = ([option for option in holding if option.candidate.takes_bar_off is taken] for taken in (False, True))
    return BestShares(best_share(layout, places_of(on)).share, best_share(layout, places_of(off)).share)


def places_of(options: Iterable[Option]) -> list[Point]:
    """Where parts of these options can stand, each place once."""
    spots = (seen_from_above(part.at) for option in options for part in option.placements)
    return sorted({Point(round(at.x_mm, 6), round(at.y_mm, 6)) for at in spots})


def best_share(layout: Layout, places: Sequence[Point]) -> BestShare:
    """The largest share of one unit of retention over these places that both sides take."""
    if not places:
        return BestShare(0.0, ())
    at = pull_points(layout)
    parts, contacts = _columns(places), _columns(contact_points(layout))
    left, right = (_columns([at[name]]) for name in SIDES)
    n, m = parts.shape[1], contacts.shape[1]

    def none(rows: int, columns: int) -> Array:
        return np.zeros((rows, columns))

    matrix = np.block(  # share | weights | forces and presses against the left pull | those against the right
        [
            [none(1, 1), np.ones((1, n)), none(1, 2 * (n + m))],
            [-left, none(3, n), parts, -contacts, none(3, n + m)],
            [-right, none(3, n), none(3, n + m), parts, -contacts],
            [none(n, 1), np.eye(n), -np.eye(n), none(n, m + n + m)],
            [none(n, 1), np.eye(n), none(n, n + m), -np.eye(n), none(n, m)],
        ]
    )
    low = np.append(1.0, np.zeros(6 + 2 * n))
    high = np.concatenate([[1.0], np.zeros(6), np.full(2 * n, INFINITE)])
    count = matrix.shape[1]
    programme = LinearProgram()
    programme.load(matrix, (low, high), (np.zeros(count), np.full(count, INFINITE)))
    found = programme.maximise(np.eye(1, count)[0])
    if found.ending is not Ending.OPTIMAL:
        raise InternalFault(f"the best share ended {found.ending.value}")
    return BestShare(float(found.columns[0]), tuple(found.columns[1 : 1 + n].tolist()))


def _columns(points: Sequence[Point]) -> Array:
    """A unit force at each point: itself and its moments (3, n)."""
    return np.array([(1.0, at.x_mm, at.y_mm) for at in points]).T
