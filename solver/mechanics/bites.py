"""The bite on a plan: how hard, where, and what it puts on each support.

The forces are those of the whole bite on the supports, an upper figure: splinted supports share it as a rigid bar
does (`load.share_vertical`), with the bar off each bears what is nearest to it. What the mucosa takes off them is
worked out in `solver.mechanics.shared_bites`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from solver.case.bars import joined_supports
from solver.case.bite_force import bite_force
from solver.case.layout import Layout, Vector
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.handbook.load_sharing import PointLoad, Support, share_vertical
from solver.handbook.mucosa import FRONT_BITE_SHARE
from solver.handbook.point import Point
from solver.handbook.support_spread import outside_mm

BiteName: TypeAlias = Literal["left", "right", "both", "front"]
BITES: tuple[BiteName, ...] = ("left", "right", "both", "front")


@dataclass(frozen=True, slots=True)
class BiteLoad:
    """One bite with all of its force on the supports.

    `lever_mm` tells how far it acts outside the supports: a cantilever, hidden where no bar reaches there.
    """

    name: BiteName
    force_n: float
    support_n: Mapping[str, float]
    unbalanced_nmm: tuple[float, float]
    lever_mm: float

    @property
    def unbalanced_moment_nmm(self) -> float:
        """Size of the moment that the supports leave to the mucosa."""
        return math.hypot(*self.unbalanced_nmm)


def bite_points(layout: Layout, name: BiteName, force_n: float) -> tuple[PointLoad, ...]:
    """Where a bite of `force_n` on one side presses, and how hard.

    On both sides it is the same force in two halves. At the front it is the share that front teeth bring up
    (`mucosa.FRONT_BITE_SHARE`).
    """
    base = layout.base
    pressed: Mapping[BiteName, Sequence[tuple[Vector, float]]] = {
        "left": [(base.bitten_left, 1.0)],
        "right": [(base.bitten_right, 1.0)],
        "both": [(base.bitten_left, 0.5), (base.bitten_right, 0.5)],
        "front": [(base.front, FRONT_BITE_SHARE.middle)],
    }
    return tuple(PointLoad(float(at[0]), float(at[1]), force_n * share) for at, share in pressed[name])


def bite_loads(case: Case, layout: Layout, mix: Sequence[Candidate]) -> tuple[BiteLoad, ...]:
    """Every bite on the supports of a mix, at the high end of the bite force."""
    groups, force_n = bearing_groups(case, layout, mix), bite_force(case).band_n.high
    return tuple(_load(layout, name, groups, force_n) for name in BITES)


def bearing_groups(case: Case, layout: Layout, mix: Sequence[Candidate]) -> list[dict[str, Point]]:
    """Supports that bear the denture, in groups that act as one piece.

    With the bar off these are the supports that carry something, each for itself.
    """
    alone = [candidate.site.id for candidate in mix if candidate.takes_bar_off]
    groups = [{name} for name in alone] or splinted(case)
    at = {name: _seen_from_above(place) for name, place in layout.supports.items()}
    return [{name: at[name] for name in case.supports if name in group} for group in groups]


def splinted(case: Case) -> list[set[str]]:
    """Supports that the bar joins, one group for each piece of bar; lone ones count only where there is no bar."""
    groups = joined_supports(case)
    ends = {end.on for end in case.ends.values()}
    return [group for group in groups if len(group) > 1 or group & ends] or groups


def _load(layout: Layout, name: BiteName, groups: Sequence[Mapping[str, Point]], force_n: float) -> BiteLoad:
    """Each press of a bite goes to the group nearest to it, which shares it as one piece."""
    presses = bite_points(layout, name, force_n)
    shared = dict.fromkeys((support for group in groups for support in group), 0.0)
    left_over = np.zeros(2)
    for group, own in _nearest(groups, presses):
        sharing = share_vertical([Support(*at) for at in group.values()], own)
        shared |= dict(zip(group, sharing.shares_n, strict=True))
        left_over += sharing.unbalanced_nmm
    standing = [at for group in groups for at in group.values()]
    lever_mm = max(outside_mm(Point(press.x_mm, press.y_mm), standing) for press in presses)
    total_n = sum(press.force_n for press in presses)
    moment = float(left_over[0]), float(left_over[1])
    return BiteLoad(name, total_n, shared, moment, lever_mm)


def _nearest(
    groups: Sequence[Mapping[str, Point]], presses: Sequence[PointLoad]
) -> list[tuple[Mapping[str, Point], list[PointLoad]]]:
    """The groups that are pressed, each with its presses; of two equally near the first takes it."""
    taken: dict[int, list[PointLoad]] = {}
    for press in presses:
        apart = [min(math.dist(press[:2], at) for at in group.values()) for group in groups]
        taken.setdefault(apart.index(min(apart)), []).append(press)
    return [(groups[index], own) for index, own in taken.items()]


def _seen_from_above(at: Vector) -> Point:
    return Point(float(at[0]), float(at[1]))
