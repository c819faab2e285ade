"""How hard a mix can be pulled: the limit-analysis LP of `hold` with the points of a case.

Attachments hold with their retention, at its low end unless told; the mucosa under the base and the bar on its
supports and ends only push. Pulls go straight along the path of removal.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice

from solver.case import PULLS, PullName
from solver.hold import LiftField, Pull, PullModel
from solver.layout import Layout, Vector
from solver.point import Point
from solver.problem import Option
from solver.retention import Retention, low_n

FLOOR: tuple[PullName, ...] = ("centre", "left", "right", "front")
"""The pulls of which the least is what a plan holds. Every denture gives way sooner behind: told beside it."""

EDGES: tuple[PullName, ...] = ("front", "left", "right")
"""Where fingers reach under the border to peel a denture off."""


@dataclass(frozen=True, slots=True)
class PullHold:
    """What one pull takes, `pull.hold_n`, the forces that balance it and the lift field it gives by."""

    name: PullName
    at: Point
    pull: Pull

    @property
    def hold_n(self) -> float:
        """Largest pull, N."""
        return self.pull.hold_n

    def forces_n(self, options: Sequence[Option]) -> Mapping[str, tuple[float, ...]]:
        """What each part holds back, by site, of the options that the pull was worked out for.

        Every mix whose parts can hold as much in the same places takes this pull as well (static theorem).
        """
        forces = iter(self.pull.attachment_n)
        return {option.site: tuple(islice(forces, len(option.placements))) for option in options}


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


def holding_points(options: Iterable[Option], retention: Retention = low_n) -> tuple[list[Point], list[float]]:
    """Every part with its retention, N."""
    points, retentions = [], []
    for option in options:
        for part in option.placements:
            points.append(seen_from_above(part.at))
            retentions.append(retention(option))
    return points, retentions


def hold_against(layout: Layout, options: Sequence[Option], name: PullName, retention: Retention = low_n) -> PullHold:
    """The largest pull of that name that the options together take."""
    return holds_against(layout, options, [name], retention)[0]


def holds_against(
    layout: Layout, options: Sequence[Option], names: Iterable[PullName], retention: Retention = low_n
) -> list[PullHold]:
    """The largest pull of each name that the options together take."""
    points, retentions = holding_points(options, retention)
    model, at = PullModel(points, contact_points(layout)), pull_points(layout)
    return [PullHold(name, at[name], model.largest_pull(retentions, at[name])) for name in names]


def weakest(pulls: Iterable[PullHold]) -> PullHold | None:
    """The pull that takes least of those that count, the first of equals."""
    counted = (pull for pull in pulls if pull.name in FLOOR)
    return min(counted, key=lambda pull: round(pull.hold_n, 6), default=None)


def lift_worth(lift: LiftField, option: Option, retention: Retention = low_n) -> float:
    """What an option adds at most to the hold of a mix that gives by this lift field, N."""
    return lift.bound_n(*holding_points([option], retention))


def seen_from_above(at: Vector) -> Point:
    """A position without its height."""
    return Point(float(at[0]), float(at[1]))
