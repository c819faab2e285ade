"""Ball ends: diameter, out-of-round, wear, neck, axis; a bar's tip is no ball."""

from __future__ import annotations

import numpy as np
import pytest

from solver.scan.bar.ball import ZONE_DEG, Ball, find_ball
from solver.scan.bar.sphere import directions
from solver.scan.section.figure import Figure, Unknown
from solver.scan.surface.mesh import Array, mesh_from_triangles
from tests.solver.scan import meshes as m

R, NECK = 1.25, 0.75
Z = np.array([0.0, 0.0, 1.0])
CENTRE = np.array([0.0, 0.0, 3.2])
END = np.array([0.0, 0.0, 1.0])


def ball_on_bar(flat: tuple[Array, float] | None = None, stretch: Array | None = None, tilt: float = 0.0) -> Array:
    ball = m.ball(R, np.zeros(3), flat=flat, stretch=stretch)
    neck = m.prism(m.circle(NECK), 2.6) @ m.rotation([0, 1, 0], 90.0).T
    head = m.moved(np.concatenate([ball, neck]), m.rotation([1, 0, 0], tilt), CENTRE)
    return np.concatenate([head, m.moved(m.prism(m.circle(0.9), 7.0), np.eye(3), np.array([-7.0, 0.0, 0.3]))])


def found(triangles: Array) -> Ball:
    ball = find_ball(mesh_from_triangles(triangles), END, Z)
    assert isinstance(ball, Ball)
    return ball


def close(figure: object, truth: float, within: float) -> bool:
    return isinstance(figure, Figure) and abs(figure.value - truth) <= within and figure.holds(truth)


WORN = {"whole": None, "worn on top": (Z, 1.1), "worn on one side": (np.array([1.0, 0.0, 0.0]), 1.1)}


@pytest.mark.parametrize("sigma", [0.0, 0.02], ids=["perfect", "noise of 20 micrometres, 1 % outliers"])
@pytest.mark.parametrize("worn", WORN)
def test_flat_does_not_change_the_diameter(worn: str, sigma: float) -> None:
    triangles = ball_on_bar(flat=WORN[worn])
    ball = found(m.noisy(triangles, sigma, 0.01, 1) if sigma else triangles)

    assert close(ball.diameter_mm, 2 * R, 0.01)
    assert close(ball.out_of_round_mm, 0.0, 0.01)
    assert close(ball.neck_diameter_mm, 2 * NECK, 0.01)
    assert close(ball.tilt_deg, 0.0, 0.3)


def test_worn_share_is_the_share_of_the_retentive_zone_that_the_flat_takes() -> None:
    ball = found(ball_on_bar(flat=WORN["worn on one side"]))
    way = directions(100_000)
    polar = np.degrees(np.arccos(way[:, 2]))
    lowest = min(ZONE_DEG[1], 180.0 - np.degrees(np.arcsin(NECK / R)) - 8.0)
    zone = (polar > ZONE_DEG[0]) & (polar < lowest)
    truth = float((R * way[zone, 0] > 1.1).mean())

    assert close(ball.worn_share, truth, 0.03)
    assert close(found(ball_on_bar(flat=WORN["worn on top"])).worn_share, 0.0, 0.01)


@pytest.mark.parametrize("sigma", [0.0, 0.02])
def test_oval_ball_is_out_of_round_by_the_difference_of_its_diameters(sigma: float) -> None:
    triangles = ball_on_bar(stretch=np.array([0.96, 1.0, 1.0]))
    ball = found(m.noisy(triangles, sigma, 0.01, 2) if sigma else triangles)

    assert close(ball.out_of_round_mm, 0.1, 0.012)


@pytest.mark.parametrize("tilt", [0.0, 4.0, 15.0])
def test_axis_leans_with_the_neck(tilt: float) -> None:
    ball = found(ball_on_bar(tilt=tilt))

    assert close(ball.tilt_deg, tilt, 0.1)
    assert ball.axis is not None
    np.testing.assert_allclose(np.array(ball.axis), m.rotation([1, 0, 0], tilt) @ Z, atol=2e-3)


def test_half_a_ball_seen_gives_no_diameter() -> None:
    """Less than the least share of the sphere is scanned: no ball is made up."""
    triangles = ball_on_bar()
    triangles = triangles[triangles[:, :, 0].max(axis=1) < -0.3]

    assert isinstance(find_ball(mesh_from_triangles(triangles), END, Z), Unknown)


@pytest.mark.parametrize("tip", ["cut square", "round"])
def test_tip_of_a_bar_is_no_ball(tip: str) -> None:
    bar = m.moved(m.prism(m.circle(0.9), 8.0), np.eye(3), np.array([-8.0, 0.0, 1.0]))
    whole = m.ball(0.9, np.array([0.0, 0.0, 1.0]))
    if tip == "round":
        bar = np.concatenate([bar[bar[:, :, 0].max(axis=1) < 0.0], whole[whole[:, :, 0].min(axis=1) >= -1e-9]])

    assert isinstance(find_ball(mesh_from_triangles(bar), END, Z), Unknown)
