"""Whole invented bars: segments at an angle on posts, with a ball end and mucosa beneath."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from solver.scan.surface.mesh import Array
from tests.solver.scan import meshes as m

X = np.array([1.0, 0.0, 0.0])
Z = np.array([0.0, 0.0, 1.0])


def placed_along(prism: Array, start: Array, end: Array) -> Array:
    """A prism made along +x, laid from `start` towards `end` with its z kept upwards."""
    a = (end - start) / np.linalg.norm(end - start)
    sideways = np.cross(Z, a) / np.linalg.norm(np.cross(Z, a))
    found: Array = prism @ np.stack([a, sideways, np.cross(a, sideways)]) + start
    return found


def segment(outline: Array, start: Array, end: Array, edge: float = m.EDGE) -> Array:
    return placed_along(m.prism(outline, float(np.linalg.norm(end - start)), edge), start, end)


def post(foot: Array, tilt_deg: float = 0.0, height: float = 4.0, radius: float = 2.0, edge: float = m.EDGE) -> Array:
    """A round post whose axis passes through `foot`, from there down."""
    tube = m.prism(m.circle(radius), height, edge)
    upright = tube @ m.rotation(np.array([0.0, 1.0, 0.0]), 90.0).T
    return upright @ m.rotation(X, tilt_deg).T + foot


KNEES = np.array([[-17.0, -6.0, 0.0], [-8.0, 3.0, 0.0], [8.0, 3.0, 0.0], [17.0, -6.0, 0.0]])


def three_segments(
    outline: Array, edge: float = m.EDGE, with_mucosa: bool = True, tilts: tuple[float, ...] = (0, 6, 0, 0)
) -> Array:
    """Four posts, three segments, as over a lower front jaw; mucosa 2 mm under the bar's middle plane... wavy."""
    parts = [segment(outline, p, q, edge) for p, q in pairwise(KNEES)]
    low = float(outline[:, 1].min())
    parts += [
        post(knee + np.array([0, 0, low + 0.4]), tilt, edge=edge) for knee, tilt in zip(KNEES, tilts, strict=True)
    ]
    if with_mucosa:

        def ridge(u: Array, v: Array) -> Array:
            x, y = 50 * u - 25, 22 * v - 14
            found: Array = np.c_[x, y, low - 2.0 + 0.3 * np.sin(0.8 * x) * np.cos(0.7 * y)]
            return found

        parts.append(m.sheet(ridge, int(50 / (2 * edge)), int(22 / (2 * edge))))
    return np.concatenate(parts)
