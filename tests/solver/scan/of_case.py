"""An invented scan of a case with a round bar: what a scanner would see if the case were so. Truth = the case."""

from __future__ import annotations

import numpy as np

from solver.case.layout import Layout
from solver.case.schema import Case, End
from solver.scan.surface.mesh import Array
from tests.solver.scan import bars
from tests.solver.scan import meshes as m

EDGE = 0.1
COLLAR_MM = 4.0


def scan_of(case: Case, edge: float = EDGE) -> Array:
    """Triangles of the bar on its posts over a flat ridge, in the patient frame; upright balls on the ends."""
    layout = Layout(case)
    bar = {name: _round(segment.width_mm.value) for name, segment in case.segments.items()}
    parts = [bars.segment(bar[name], *layout.line(segment), edge) for name, segment in case.segments.items()]
    radius = max(float(outline[:, 1].max()) for outline in bar.values())
    for name, end in case.ends.items():
        parts += _end(layout, name, end, radius, edge)
    parts += [bars.post(at - [0, 0, radius - 0.4], edge=edge) for at in layout.supports.values()]
    gap = next(iter(case.segments.values())).gap_mm.value or 2.0
    return np.concatenate([*parts, _ridge(layout, -radius - gap, edge)])


def _round(width_mm: float | None) -> Array:
    return m.circle((width_mm or 1.8) / 2)


def _end(layout: Layout, name: str, end: End, radius: float, edge: float) -> list[Array]:
    """The bar from the support to under the ball, a neck, and the ball on it."""
    foot, ball = layout.ends[name], (end.ball_mm.value or 2.2) / 2
    centre = foot + np.array([0.0, 0.0, radius + 1.5 * ball])
    beyond = foot + layout.end_direction(end) * ball
    neck = m.prism(m.circle(0.6 * ball), radius + 1.5 * ball, edge) @ m.rotation([0, 1, 0], 90.0).T + centre
    return [
        bars.segment(m.circle(radius), layout.supports[end.on], beyond, edge),
        neck,
        m.ball(ball, centre, edge / 2),
    ]


def _ridge(layout: Layout, level: float, edge: float) -> Array:
    places = np.array([*layout.supports.values(), *layout.ends.values()])[:, :2]
    (left, back), (right, front) = places.min(axis=0) - 6, places.max(axis=0) + 6

    def surface(u: Array, v: Array) -> Array:
        x, y = left + (right - left) * u, back + (front - back) * v
        found: Array = np.c_[x, y, np.full(len(u), level) + 0.05 * np.sin(x) * np.cos(y)]
        return found

    return m.sheet(surface, int((right - left) / (4 * edge)), int((front - back) / (4 * edge)))
