"""The bite on a plan: how hard, where, and what it puts on each support.

The forces are those of the whole bite on the supports, an upper figure: splinted supports share it as a rigid bar
does (`load.share_vertical`), with the bar off each bears what is nearest to it. What the mucosa takes off them is
worked out in `solver.shared_bite`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from solver.bars import joined_supports
from solver.candidate import Candidate
from solver.case import Case
from solver.layout import Layout, Vector
from solver.load import PointLoad, Support, share_vertical
from solver.mucosa import BITE_N, FRONT_BITE_SHARE
from solver.point import Point
from solver.sourced import Interval, Sourced
from solver.spread import lever_arm_mm

BiteName: TypeAlias = Literal["left", "right", "both", "front"]
BITES: tuple[BiteName, ...] = ("left", "right", "both", "front")

_PRESETS = {
    "denture": (BITE_N["working"],),
    "natural": (BITE_N["worst"],),
    "implants": (BITE_N["worst"],),
    "unknown": (BITE_N["working"], BITE_N["worst"]),
}


@dataclass(frozen=True, slots=True)
class BiteForce:
    """Working bite on one side, N; `presets` is what it was taken from, empty where the case gives it."""

    band_n: Interval
    presets: tuple[Sourced, ...] = ()


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


def bite_force(case: Case) -> BiteForce:
    """The bite that the case gives, else the preset for what the denture bites on; not known counts as a band."""
    given = case.bite.force_n
    if given.known:
        return BiteForce(Interval(max(given.low, 0.0), given.high))
    presets = _PRESETS[case.opposing]
    return BiteForce(Interval(presets[0].interval.low, presets[-1].interval.high), presets)


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


def outside_mm(at: Point, supports: Sequence[Point]) -> float:
    """How far a point lies outside the area (line, spot) that the supports span; 0 inside."""
    if _surrounded(at, supports):
        return 0.0
    edges = [(one, two) for n, one in enumerate(supports) for two in supports[n + 1 :] if one != two]
    return min((_from_edge(at, *edge) for edge in edges), default=math.dist(at, supports[0]))


def _from_edge(at: Point, one: Point, two: Point) -> float:
    """Distance from a stretch between two points."""
    along = np.subtract(two, one)
    if 0.0 <= np.subtract(at, one) @ along <= along @ along:
        return lever_arm_mm(at, one, two)
    return min(math.dist(at, one), math.dist(at, two))


def _surrounded(at: Point, supports: Sequence[Point]) -> bool:
    """True where no half of the plane beside the point is free of supports."""
    turns = sorted(math.atan2(p.y_mm - at.y_mm, p.x_mm - at.x_mm) for p in supports)
    gaps = [(after - before) % math.tau for before, after in zip(turns, turns[1:] + turns[:1], strict=True)]
    return len(set(turns)) > 1 and max(gaps) <= math.pi


def _seen_from_above(at: Vector) -> Point:
    return Point(float(at[0]), float(at[1]))
