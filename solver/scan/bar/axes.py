"""Error of directions and of where two axes meet."""

from __future__ import annotations

import numpy as np

from solver.scan.bar.centreline import Refined
from solver.scan.section.figure import Figure, root_sum
from solver.scan.surface.mesh import Array

IN_LINE_ERROR_MM = 1.0  # the axes of stretches in line do not show where one ends and the other begins


def angle_between(first: Array, second: Array, error_rad: float) -> Figure:
    """Angle between two directions, 0 to 180 deg."""
    turn = np.arctan2(np.linalg.norm(np.cross(first, second)), first @ second)
    return Figure(float(np.degrees(turn)), float(np.degrees(error_rad)))


def closest(first: Refined, second: Refined) -> tuple[float, float, float]:
    """Stations where two axes come closest, and the distance there (in line: the middle of the gap)."""
    a, b, between = first.line.a, second.line.a, second.line.origin - first.line.origin
    cosine = float(a @ b)
    if abs(cosine) > 0.995:
        one = (
            first.line.high
            if abs(first.line.high - between @ a) < abs(first.line.low - between @ a)
            else first.line.low
        )
        ends = [float((second.line.at(s) - first.line.origin) @ a) for s in (second.line.low, second.line.high)]
        other = min(ends, key=lambda s: abs(s - one))
        station = (one + other) / 2
        at = first.line.at(station)
        return (
            station,
            float((at - second.line.origin) @ b),
            float(np.linalg.norm(np.cross(at - second.line.origin, b))),
        )
    matrix = np.array([[1.0, -cosine], [cosine, -1.0]])
    on_first, on_second = np.linalg.solve(matrix, np.array([between @ a, between @ b]))
    apart = np.linalg.norm(first.line.at(float(on_first)) - second.line.at(float(on_second)))
    return float(on_first), float(on_second), float(apart)


def meeting_error(first: Refined, second: Refined, station: float) -> float:
    """Error along the first axis of the place where the second crosses it."""
    sine = float(np.linalg.norm(np.cross(first.line.a, second.line.a)))
    if sine < 0.1:
        return IN_LINE_ERROR_MM
    reach = abs(station - (first.line.low + first.line.high) / 2)
    across = root_sum(first.place_error_mm, second.place_error_mm, reach * first.direction_error_rad,
                      reach * second.direction_error_rad)  # fmt: skip
    return across / sine
