"""Where labels go: near their points, off each other and off what is drawn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from cli.draw.canvas import LETTER_MM, XY, Canvas, Pen, text_span
from cli.legible import width_em

_DIRECTIONS = 24
_DISTANCES_MM = (3.6, 5.0, 6.5, 8.5, 11.0, 14.0, 18.0)
_LEADER_FROM_MM = 4.6


class Label(NamedTuple):
    """Words that belong to a point; the bold ones name sites. `clear_mm` is the radius of what is drawn there."""

    at: XY
    words: str
    bold: bool = False
    clear_mm: float = 0.0


class _Spot(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float
    reach: float

    def overlap(self, other: _Spot) -> float:
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return wide * high if wide > 0 and high > 0 else 0.0

    def holds(self, point: XY) -> bool:
        return self.left <= point[0] <= self.right and self.top <= point[1] <= self.bottom


def place_labels(canvas: Canvas, labels: Sequence[Label], obstacles: Sequence[XY], away_from: XY) -> None:
    """Draw every label at the best of a ring of spots: off labels and obstacles, outwards, and near."""
    placed: list[_Spot] = []
    for label in labels:
        spots = _spots(canvas, label)
        near = _within_reach(spots, obstacles)
        spot = min(spots, key=lambda s: _badness(canvas, s, label, placed, near, away_from))
        placed.append(spot)
        middle = ((spot.left + spot.right) / 2, (spot.top + spot.bottom) / 2)
        if spot.reach > canvas.page(_LEADER_FROM_MM) + label.clear_mm:
            canvas.line([label.at, _edge(spot, label.at)], Pen(width_mm=0.15))
        canvas.text((middle[0], spot.bottom - canvas.page(0.8)), label.words, anchor="middle", bold=label.bold)


def along(start: XY, stop: XY, step: float) -> list[XY]:
    """Points on a line, at most `step` mm apart, as obstacles."""
    count = max(2, math.ceil(math.dist(start, stop) / step))
    return [
        (start[0] + (stop[0] - start[0]) * k / count, start[1] + (stop[1] - start[1]) * k / count)
        for k in range(count + 1)
    ]


def _spots(canvas: Canvas, label: Label) -> list[_Spot]:
    wide, high = canvas.page(width_em(label.words, bold=label.bold) * LETTER_MM + 1.0), canvas.page(LETTER_MM + 0.9)
    spots = []
    for distance in _DISTANCES_MM:
        reach = canvas.page(distance) + label.clear_mm
        for k in range(_DIRECTIONS):
            dx, dy = math.cos(2 * math.pi * k / _DIRECTIONS), math.sin(2 * math.pi * k / _DIRECTIONS)
            x, y = label.at[0] + reach * dx, label.at[1] + reach * dy
            # The label hangs on its near side, so that long names grow away from the point.
            left = text_span(x, wide, "middle")[0] + dx * (wide - high) / 2
            top = y - high / 2
            spots.append(_Spot(left, top, left + wide, top + high, reach))
    return spots


def _within_reach(spots: Sequence[_Spot], obstacles: Sequence[XY]) -> list[XY]:
    """Obstacles that some spot may hide: the rest need not be looked at again for every spot."""
    left, top = min(spot.left for spot in spots), min(spot.top for spot in spots)
    right, bottom = max(spot.right for spot in spots), max(spot.bottom for spot in spots)
    all_spots = _Spot(left, top, right, bottom, 0.0)
    return [point for point in obstacles if all_spots.holds(point)]


def _badness(
    canvas: Canvas, spot: _Spot, label: Label, placed: Sequence[_Spot], obstacles: Sequence[XY], away_from: XY
) -> float:
    unit = canvas.page(1.0)
    overlaps = sum(spot.overlap(other) for other in placed) / unit**2
    hidden = sum(1 for point in obstacles if spot.holds(point))
    middle = ((spot.left + spot.right) / 2, (spot.top + spot.bottom) / 2)
    outwards = (math.dist(middle, away_from) - math.dist(label.at, away_from)) / unit
    crossed = 0
    if spot.reach > canvas.page(_LEADER_FROM_MM) + label.clear_mm:
        leader = along(label.at, _edge(spot, label.at), unit)
        crossed = sum(1 for other in placed for point in leader if other.holds(point))
    return 30 * overlaps + 12 * hidden + 20 * crossed + 1.2 * spot.reach / unit - 0.5 * outwards


def _edge(spot: _Spot, point: XY) -> XY:
    return min(max(point[0], spot.left), spot.right), min(max(point[1], spot.top), spot.bottom)
