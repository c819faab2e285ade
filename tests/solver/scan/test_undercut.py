"""Undercut depths against closed forms, and the direction of best common draw."""

from __future__ import annotations

import numpy as np
import pytest

from solver.scan.section.shapes import SHAPES, Kind
from solver.scan.section.undercut import FOOT_MM, Profile, best_draw, undercut
from solver.scan.surface.mesh import Array
from solver.scan.surface.slicing import frame_for
from tests.solver.scan import meshes as m

X, Z = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])


def round_depth(radius: float) -> float:
    """r - sqrt(r^2 - (r - foot)^2): reach of a circle at `foot` above its lowest point."""
    return float(radius - np.sqrt(radius**2 - (radius - FOOT_MM) ** 2))


def ellipse_depth(half: float, down: float) -> float:
    return float(half * (1 - np.sqrt(1 - ((down - FOOT_MM) / down) ** 2)))


CASES = [
    ("round", Kind.ROUND, [0.0, 0.0, 0.95], round_depth(0.95), round_depth(0.95)),
    ("ovoid", Kind.OVOID, [0.0, 0.0, 0.0, 1.1, 1.0, 1.9], ellipse_depth(1.1, 1.9), ellipse_depth(1.1, 1.9)),
    ("keyhole", Kind.KEYHOLE, [0.0, 0.0, 0.0, 0.95, 0.5, 2.2], 0.45, 0.45),
    ("parallel", Kind.PARALLEL, [0.0, 0.0, 0.0, 1.0, 1.5, 0.2, 0.1, 0.0], 0.0, 0.0),
    ("parallel, walls leaning in upwards", Kind.PARALLEL, [0.0, 0.0, 0.0, 1.0, 1.5, 0.2, 0.1, 0.05], 0.0, 0.0),
    # walls that lean out upwards fall back by their slope (0.05) times the height above the foot (3.0 - 0.2)
    ("parallel, walls leaning out", Kind.PARALLEL, [0.0, 0.0, 0.0, 1.0, 1.5, 0.0, 0.0, -0.05], 0.14, 0.14),
    # rolled by 0.1 rad towards +l: one wall falls back, the other does not
    ("parallel, rolled", Kind.PARALLEL, [0.0, 0.0, -0.1, 1.0, 1.5, 0.0, 0.0, 0.0], None, 0.0),
]  # fmt: skip


@pytest.mark.parametrize(("name", "kind", "theta", "left", "right"), CASES, ids=[c[0] for c in CASES])
def test_depth_on_each_side(name: str, kind: Kind, theta: list[float], left: float | None, right: float) -> None:
    found_left, found_right = undercut(SHAPES[kind].outline(np.array([theta])))

    assert right == pytest.approx(float(found_right[0]), abs=2e-3)
    if left is None:
        # tan(0.1) times the height from the upper corner down to the foot
        low, high = 1.5 * np.cos(0.1) + np.sin(0.1), 1.5 * np.cos(0.1) - np.sin(0.1)
        left = np.tan(0.1) * (low + high - FOOT_MM)
    assert left == pytest.approx(float(found_left[0]), abs=3e-3)


def profile(outline: Array, axis: Array) -> Profile:
    frame = frame_for(np.zeros(3), axis, Z)
    return Profile(outline, frame.a, frame.l, frame.v)


def rolled(outline: Array, degrees: float) -> Array:
    turn = np.radians(degrees)
    found: Array = outline @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return found


def test_best_draw_is_along_the_walls_of_two_parallel_sided_segments() -> None:
    """Segments along x and y whose walls lean 5 deg and 3 deg: only one direction draws from both."""
    wall = m.evenly(m.box(1.0, 1.5, 0.1, 0.1), 0.02)
    along_x = profile(rolled(wall, -5.0), X)
    along_y = profile(rolled(wall, 3.0), np.array([0.0, 1.0, 0.0]))
    draw = best_draw([along_x, along_y], Z)
    out = np.array(draw.out)
    expected = np.cross(
        np.cross(along_x.a, -np.sin(np.radians(-5)) * along_x.l + np.cos(np.radians(-5)) * along_x.v) @ np.eye(3),
        np.cross(along_y.a, -np.sin(np.radians(3)) * along_y.l + np.cos(np.radians(3)) * along_y.v),
    )
    expected *= np.sign(expected[2]) / np.linalg.norm(expected)

    assert np.degrees(np.arccos(out @ expected)) < 0.5
    assert draw.worst_undercut_mm < 0.01


def test_round_bar_leaves_the_direction_where_it_was_and_says_it_is_loose() -> None:
    draw = best_draw([profile(m.evenly(m.circle(1.0), 0.02), X)], Z)

    np.testing.assert_allclose(draw.out, Z)
    assert 16.0 == draw.loose_deg


def test_keyhole_is_drawn_along_its_stem() -> None:
    draw = best_draw([profile(rolled(m.evenly(m.keyhole(0.95, 0.5, 2.2), 0.02), 6.0), X)], Z)

    assert abs(np.degrees(np.arctan2(draw.out[1], draw.out[2]))) == pytest.approx(6.0, abs=0.3)
    assert 0.45 == pytest.approx(draw.worst_undercut_mm, abs=0.01)
