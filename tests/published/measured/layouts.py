"""The published layouts on the usual arch, with attachments of 10 N each: stand-ins for the casts of the papers."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Literal, TypeAlias

from solver.case.layout import Layout
from solver.handbook.point import Point
from solver.handbook.teeth import DEFAULT_CURVES, Arch, tooth_position
from solver.mechanics.hold import PullModel
from solver.mechanics.pulls import pull_points, seen_from_above
from tests.solver.small import small_case

Direction: TypeAlias = Literal["sum", "centre", "front", "left", "behind", "corner"]
"""`sum` is a level lift by all chains at once; `behind` both heels, `corner` one of them."""

EACH_N = 10.0


def teeth(*numbers: int | tuple[int, int]) -> tuple[Point, ...]:
    """Places of teeth, or halfway between two."""
    spots = []
    for number in numbers:
        one, other = number if isinstance(number, tuple) else (number, number)
        a, b = tooth_position(one), tooth_position(other)
        spots.append(Point((a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2))
    return tuple(spots)


def apart(mm: float) -> tuple[Point, ...]:
    """Two places of the lower arch so far apart, evenly about the midline."""
    curve = DEFAULT_CURVES["lower"]
    forward = float(curve.forward_mm(mm / 2))  # type: ignore[arg-type]
    return Point(mm / 2, forward), Point(-mm / 2, forward)


UPPER_14 = teeth(13, 23, 15, 25)
UPPER_22 = teeth(13, 23, 16, 26)
ABDE = teeth(44, (42, 43), (32, 33), 34)
E6AE6 = teeth(46, 44, 34, 36)
E6BD6 = teeth(46, (42, 43), (32, 33), 36)
CANINES = teeth(33, 43)


@cache
def pulled(arch: Arch, spots: tuple[Point, ...], direction: Direction, each_n: float = EACH_N) -> float:
    """What a denture on these attachments takes, N."""
    if direction == "sum":
        return each_n * len(spots)
    layout = _layout(arch)
    at = seen_from_above(layout.base.heel_left) if direction == "corner" else pull_points(layout)[direction]
    return model(arch, spots).largest_pull([each_n] * len(spots), at).hold_n


def model(arch: Arch, spots: Sequence[Point]) -> PullModel:
    """Attachments that stand on their own implants: the denture bears on these and on its border."""
    border = (seen_from_above(at) for at in _layout(arch).base.border)
    return PullModel(spots, (*border, *spots))


def three_points(arch: Arch, spots: tuple[Point, ...], direction: Direction) -> float:
    """The same with no border: contacts at the second molars and the front alone, as it was reckoned before."""
    left, right = teeth(*((37, 47) if arch == "lower" else (27, 17)))
    front = Point(0.0, DEFAULT_CURVES[arch].depth_mm)
    middle = Point((left.x_mm + right.x_mm + front.x_mm) / 3, (left.y_mm + right.y_mm + front.y_mm) / 3)
    at = {"centre": middle, "front": front, "behind": Point(0.0, left.y_mm), "corner": left}[direction]
    return PullModel(spots, (left, right, front, *spots)).largest_pull([EACH_N] * len(spots), at).hold_n


@cache
def _layout(arch: Arch) -> Layout:
    """The usual base, whatever stands under it."""
    return Layout(small_case(arch=arch, denture={"left": None, "right": None, "front": None}))
