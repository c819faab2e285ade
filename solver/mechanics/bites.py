"""The bite on a plan: how hard, where, and which supports stand under it in one piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, TypeAlias

from solver.case.bars import joined_supports
from solver.case.layout import Layout, Vector
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.handbook.mucosa import BOTH_SIDES_SHARE, FRONT_BITE_SHARE
from solver.handbook.point import Point, PointLoad
from solver.handbook.support_spread import outside_mm

BiteName: TypeAlias = Literal["left", "right", "both", "front"]
BITES: tuple[BiteName, ...] = ("left", "right", "both", "front")


def bite_points(layout: Layout, name: BiteName, force_n: float) -> tuple[PointLoad, ...]:
    """Where a bite of `force_n` on one side presses, and how hard.

    On both sides it is more than on one (`mucosa.BOTH_SIDES_SHARE`), in two halves. At the front it is the share that
    front teeth bring up (`mucosa.FRONT_BITE_SHARE`).
    """
    base, half = layout.base, BOTH_SIDES_SHARE.middle / 2
    pressed: Mapping[BiteName, Sequence[tuple[Vector, float]]] = {
        "left": [(base.bitten_left, 1.0)],
        "right": [(base.bitten_right, 1.0)],
        "both": [(base.bitten_left, half), (base.bitten_right, half)],
        "front": [(base.front, FRONT_BITE_SHARE.middle)],
    }
    return tuple(PointLoad(float(at[0]), float(at[1]), force_n * share) for at, share in pressed[name])


def lever_mm(layout: Layout, name: BiteName, groups: Sequence[Mapping[str, Point]]) -> float:
    """How far a bite acts outside its supports: a cantilever, hidden where no bar reaches there."""
    standing = [at for group in groups for at in group.values()]
    return max(outside_mm(Point(press.x_mm, press.y_mm), standing) for press in bite_points(layout, name, 1.0))


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


def _seen_from_above(at: Vector) -> Point:
    return Point(float(at[0]), float(at[1]))
