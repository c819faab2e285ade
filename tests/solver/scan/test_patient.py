"""A bar finds its place in the patient whatever way the scan lies: x to the left, y forwards, z up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from solver.handbook.teeth import DEFAULT_CURVES, Arch
from solver.scan.errors import BadDirection, ForwardsNotShown
from solver.scan.surface.mesh import Array
from solver.scan.to_case.patient import any_forwards, forwards_of, place_on, turn_to_patient

BAR = np.array([[-16.0, 17.0, 0.0], [0.0, 25.0, 0.3], [15.0, 18.0, 0.0]])
turns = st.integers(0, 10_000).map(lambda seed: Rotation.random(random_state=seed).as_matrix())


def up(arch: Arch) -> Array:
    return np.array([0.0, 0.0, 1.0 if arch == "lower" else -1.0])


@pytest.mark.parametrize("arch", ["lower", "upper"])
@given(turn=turns)
def test_supports_come_to_lie_where_they_are(arch: Arch, turn: Array) -> None:
    """Any rigid motion of the scan is undone by the places of two supports; the third then lies right as well."""
    seen, out = BAR @ turn.T + [5.0, -7.0, 90.0], turn @ up(arch)

    found = place_on(seen, turn_to_patient(out, any_forwards(out), arch), {0: BAR[0], 2: BAR[2]}, arch)

    np.testing.assert_allclose([found.of(point) for point in seen], BAR, atol=1e-9)
    assert found.off_mm < 1e-9
    assert np.linalg.det(found.turn) == pytest.approx(1.0)


@pytest.mark.parametrize("arch", ["lower", "upper"])
@given(turn=turns)
def test_the_bend_of_the_bar_shows_the_front(arch: Arch, turn: Array) -> None:
    forwards = forwards_of(BAR @ turn.T + 3.0, turn @ up(arch))
    chord = (BAR[2] - BAR[0]) * [1, 1, 0]
    square = np.cross(up("lower"), chord / np.linalg.norm(chord))

    np.testing.assert_allclose(turn.T @ forwards, square, atol=1e-9)


def test_left_stays_left_in_the_upper_jaw() -> None:
    """Seen from the mucosa the two jaws are mirror images: the same scan is the other way round in the other jaw."""
    lower = turn_to_patient(up("lower"), np.array([0.0, 1.0, 0.0]), "lower")
    upper = turn_to_patient(up("lower"), np.array([0.0, 1.0, 0.0]), "upper")

    np.testing.assert_allclose(np.eye(3), lower)
    np.testing.assert_allclose(np.diag([-1.0, 1.0, -1.0]), upper)


def test_without_any_known_place_the_bar_lies_even_on_the_average_arch() -> None:
    seen = BAR + np.array([40.0, 0.0, 9.0])
    found = place_on(seen, np.eye(3), {}, "lower")
    placed = np.array([found.of(point) for point in seen])

    assert 0.0 == pytest.approx(placed[0, 0] + placed[2, 0])
    assert 0.0 == pytest.approx(placed[:, 2].mean())
    assert 0.0 == pytest.approx((DEFAULT_CURVES["lower"].forward_mm(placed[:, 0]) - placed[:, 1]).mean())


STRAIGHT = {
    "two supports": BAR[[0, 2]],
    "three in line": np.array([[0.0, 0, 0], [9.0, 0, 0], [20.0, 0.3, 0]]),
    "one": BAR[:1],
}


@pytest.mark.parametrize("points", STRAIGHT.values(), ids=STRAIGHT)
def test_a_straight_bar_does_not_show_the_front(points: Array) -> None:
    with pytest.raises(ForwardsNotShown):
        forwards_of(points, up("lower"))


def test_forwards_along_the_path_of_removal_is_refused() -> None:
    with pytest.raises(BadDirection):
        turn_to_patient(up("lower"), np.array([0.0, 0.01, 1.0]), "lower")
