"""Circles, spheres and cuts agree with libraries that know nothing of bars: scipy, scikit-spatial, trimesh."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.optimize import least_squares
from skspatial.objects import Circle
from skspatial.objects import Sphere as ReferenceSphere

from solver.scan.bar.sphere import least_squares_sphere
from solver.scan.section.shapes import SHAPES, Kind, round_distance
from solver.scan.surface.robust_fit import fit_robust
from solver.scan.surface.slicing import cut, frame_for
from tests.solver.scan import meshes as m


def noisy_circle(seed: int, arc: float) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    angle = rng.uniform(0, arc, 200)
    radius = 1.1 + rng.normal(0, 0.005, 200)
    return 0.3 + radius * np.cos(angle), -0.2 + radius * np.sin(angle)


@pytest.mark.parametrize("arc", [2 * np.pi, 4.0, 2.5], ids=["whole", "two thirds", "open arc"])
def test_circle_agrees_with_robust_least_squares_of_scipy(arc: float) -> None:
    x, y = noisy_circle(1, arc)
    ours = fit_robust(lambda t: round_distance(t, x[None], y[None]), np.array([[0.0, 0.0, 1.0]]), np.ones((1, 200)))
    theirs = least_squares(lambda t: np.hypot(x - t[0], y - t[1]) - t[2], [0, 0, 1], loss="soft_l1", f_scale=0.02)

    np.testing.assert_allclose(ours.theta[0], theirs.x, atol=1e-3)


def test_circle_agrees_with_scikit_spatial() -> None:
    x, y = noisy_circle(2, 2 * np.pi)
    ours = fit_robust(lambda t: round_distance(t, x[None], y[None]), np.array([[0.0, 0.0, 1.0]]), np.ones((1, 200)))
    reference = Circle.best_fit(np.column_stack([x, y]))

    np.testing.assert_allclose(ours.theta[0], [*reference.point, reference.radius], atol=5e-4)


@pytest.mark.parametrize("kind", list(Kind))
def test_each_section_shape_agrees_with_scipy(kind: Kind) -> None:
    """The batched fit finds what scipy finds one section at a time, on noise without outliers."""
    truth = {
        Kind.ROUND: [0.1, 0.2, 0.95],
        Kind.OVOID: [0.1, 0.2, 0.05, 1.1, 1.0, 1.8],
        Kind.PARALLEL: [0.1, 0.2, 0.05, 1.0, 1.5, 0.4, 0.3, 0.05],
        Kind.KEYHOLE: [0.1, 0.2, 0.05, 0.95, 0.5, 2.0],
    }[kind]
    rng = np.random.default_rng(3)
    points = SHAPES[kind].outline(np.array([truth]))[0] + rng.normal(0, 0.004, (240, 2))
    x, y = points.T[:, None]
    start = np.array([truth]) * 0.97
    ours = fit_robust(lambda t: SHAPES[kind].distance(t, x, y), start, np.ones((1, 240)))
    theirs = least_squares(lambda t: SHAPES[kind].distance(t[None], x, y)[0], start[0], loss="soft_l1", f_scale=0.02)

    np.testing.assert_allclose(ours.theta[0], theirs.x, atol=4e-3)


@pytest.mark.parametrize("part", [1.0, 0.3, -0.4], ids=["whole", "cap off", "less than half"])
def test_sphere_agrees_with_scipy_and_scikit_spatial(part: float) -> None:
    rng = np.random.default_rng(4)
    way = rng.normal(size=(2000, 3))
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    way = way[way[:, 2] < part]
    points = [1.0, 2.0, 3.0] + way * (1.25 + rng.normal(0, 0.003, len(way)))[:, None]
    centre, radius = least_squares_sphere(points, np.ones(len(points)))
    theirs = least_squares(
        lambda t: np.linalg.norm(points - t[:3], axis=1) - t[3], [1, 2, 3, 1], x_scale="jac", xtol=1e-12
    )
    reference = ReferenceSphere.best_fit(points)

    np.testing.assert_allclose([*centre, radius], theirs.x, atol=1e-6)
    np.testing.assert_allclose([*centre, radius], [*reference.point, reference.radius], atol=1e-3)


def test_cuts_agree_with_trimesh() -> None:
    """Length of each cut and its farthest point are those that trimesh finds plane by plane."""
    triangles = m.moved(
        m.noisy(m.prism(m.keyhole(0.95, 0.5, 2.2), 6.0, 0.15), 0.02, 0.0, 5),
        m.rotation([1, 2, 3], 40),
        [4, 5, 6],
    )
    axis = m.rotation([1, 2, 3], 40) @ [1.0, 0.1, 0.0]
    frame = frame_for(np.array([4.0, 5.0, 6.0]), axis, np.array([0.0, 0.0, 1.0]))
    stations = np.arange(0.5, 5.5, 0.25)
    ours = cut(triangles, frame, stations, 0.05, 50.0)
    corners = triangles.reshape(-1, 3)
    mesh = trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=False)
    for number, station in enumerate(stations):
        plane = (frame.a, frame.origin + station * frame.a)
        theirs = trimesh.intersections.mesh_plane(mesh, *plane)  # type: ignore[no-untyped-call]
        length = np.linalg.norm(theirs[:, 1] - theirs[:, 0], axis=1).sum()

        assert length == pytest.approx(ours.weight_mm[ours.plane == number].sum(), rel=1e-9)
