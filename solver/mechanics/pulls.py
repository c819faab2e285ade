"""How hard a mix can be pulled: the limit-analysis LP of `hold` with the points of a case.

Attachments hold with the low end of their retention; the mucosa under the base and the bar on its supports and ends
only push. Pulls go straight along the path of removal.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from solver.case.layout import Layout, Vector
from solver.case.schema import PULLS, PullName
from solver.handbook.point import Point
from solver.mechanics.hold import LiftField, Pull, PullModel
from solver.mechanics.option import Option


@dataclass(frozen=True, slots=True)
class PullHold:
    """What one pull takes: `pull.hold_n` at the low end of every retention, and the lift field it gives by."""

    name: PullName
    at: Point
    pull: Pull

    @property
    def hold_n(self) -> float:
        """Largest pull, N."""
        return self.pull.hold_n


def pull_points(layout: Layout) -> Mapping[PullName, Point]:
    """Where is pulled: amid the tooth line, at the last teeth, at the front, and at both heels at once.

    The middle is that of the last teeth and the front: lifted evenly at these three, a denture is pulled there. What
    pulls at both heels pulls halfway between them.
    """
    base = layout.base
    middle, behind = (base.left + base.right + base.front) / 3, (base.heel_left + base.heel_right) / 2
    spots = {"centre": middle, "left": base.left, "right": base.right, "front": base.front, "behind": behind}
    return {name: seen_from_above(spots[name]) for name in PULLS}


def contact_points(layout: Layout) -> tuple[Point, ...]:
    """Where the denture bears: mucosa along the border of the base, the bar (or its stumps) at supports and ends.

    What lies within the border adds nothing: a press there is a press at its corners.
    """
    spots = (*layout.base.border, *layout.supports.values(), *layout.ends.values())
    return tuple(seen_from_above(spot) for spot in spots)


Retention: TypeAlias = Callable[[Option], float]
"""What one part of an option holds, N."""


def new_low_n(option: Option) -> float:
    """The low end of the band, as fitted."""
    return option.candidate.attachment.retention_n.low


def holding_points(options: Iterable[Option], retention: Retention = new_low_n) -> tuple[list[Point], list[float]]:
    """Every part with what it holds, N."""
    points, retentions = [], []
    for option in options:
        each_n = retention(option)
        for part in option.placements:
            points.append(seen_from_above(part.at))
            retentions.append(each_n)
    return points, retentions


def hold_against(layout: Layout, options: Sequence[Option], name: PullName) -> PullHold:
    """The largest pull of that name that the options together take."""
    return holds_against(layout, options, [name])[0]


def holds_against(
    layout: Layout, options: Sequence[Option], names: Iterable[PullName], retention: Retention = new_low_n
) -> list[PullHold]:
    """The largest pull of each name that the options together take."""
    points, retentions = holding_points(options, retention)
    model, at = PullModel(points, contact_points(layout)), pull_points(layout)
    return [PullHold(name, at[name], model.largest_pull(retentions, at[name])) for name in names]


def lift_worth(lift: LiftField, option: Option, each_n: float) -> float:
    """What an option adds at most to the hold of a mix that gives by a lift field, N; each part holds `each_n`."""
    return each_n * sum(max(0.0, lift.at(seen_from_above(part.at))) for part in option.placements)


def seen_from_above(at: Vector) -> Point:
    """A position without its height."""
    return Point(float(at[0]), float(at[1]))
