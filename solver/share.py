"""The largest share of all retention that the weaker side could take, wherever retention may stand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from solver.layout import Layout
from solver.lp import INFINITE, Ending, LinearProgram
from solver.point import Point
from solver.pulls import contact_points, pull_points

if TYPE_CHECKING:
    from solver.option import Option


def best_share(layout: Layout, options: Sequence[Option]) -> float:
    """Return the best share of one unit of retention over the places of these options, the bar on or the bar off."""
    return max((_best_over(layout, _places(options, bar_off=bar_off)) for bar_off in (False, True)), default=0.0)


def _places(options: Sequence[Option], *, bar_off: bool) -> list[Point]:
    """Where parts may stand, each place once."""
    return list(
        dict.fromkeys(
            Point(round(float(part.at[0]), 6), round(float(part.at[1]), 6))
            for option in options
            if option.candidate.takes_bar_off is bar_off and option.candidate.low_n > 0
            for part in option.placements
        )
    )


def _best_over(layout: Layout, places: Sequence[Point]) -> float:
    """One linear programme: retentions that sum to one, and the forces on them under a pull at either side.

    Unknowns: the share, a retention for each place, then for each side a force at each place and contact.
    """
    if not places:
        return 0.0
    contacts, sides = contact_points(layout), [pull_points(layout)[name] for name in ("left", "right")]
    many, bearing = len(places), len(contacts)
    width = 1 + many + 2 * (many + bearing)
    rows, low, high = [], [], []
    for side, at in enumerate(sides):
        start = 1 + many + side * (many + bearing)
        for factors, arm in (
            ([1.0] * (many + bearing), 1.0),
            ([p.x_mm for p in (*places, *contacts)], at.x_mm),
            ([p.y_mm for p in (*places, *contacts)], at.y_mm),
        ):
            row = np.zeros(width)
            row[0] = -arm
            row[start : start + many] = factors[:many]
            row[start + many : start + many + bearing] = [-f for f in factors[many:]]
            rows.append(row)
            low.append(0.0)
            high.append(0.0)
        for place in range(many):
            row = np.zeros(width)
            row[start + place], row[1 + place] = 1.0, -1.0
            rows.append(row)
            low.append(-INFINITE)
            high.append(0.0)
    whole = np.zeros(width)
    whole[1 : 1 + many] = 1.0
    rows.append(whole)
    low.append(1.0)
    high.append(1.0)
    programme = LinearProgram()
    programme.load(np.array(rows), (np.array(low), np.array(high)), (np.zeros(width), np.full(width, INFINITE)))
    found = programme.maximise(np.eye(1, width)[0])
    return float(found.objective) if found.ending is Ending.OPTIMAL else 0.0
