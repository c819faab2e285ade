"""Where sites are, which way they point, and what is known there after derivation."""

from __future__ import annotations

import numpy as np
import pytest

from solver.case.layout import Layout
from solver.case.measure import UNKNOWN, Measure
from solver.case.sites import Site, sites_of
from tests.solver.small import small_case, stock

DEFAULTS = stock().defaults
SLOPING = {"R": {"at_mm": [-12, 17, 1]}, "L": {"at_mm": [9, 21, 4]}}


def site(name: str, **changes: object) -> Site:
    return next(s for s in sites_of(small_case(**changes), DEFAULTS) if s.id == name)


@pytest.mark.parametrize("name", ["B", "E", "R"])
@pytest.mark.parametrize("out", [1.0, -1.0], ids=["lower", "upper"])
def test_frames_are_orthonormal_right_handed_and_point_out(name: str, out: float) -> None:
    """Axes a along the bar, l = out x a, v = a x l; v leans with the bar but never into the mucosa."""
    arch, teeth = ("lower", {}) if out > 0 else ("upper", {"denture": {"left": 26, "right": 16}})
    frame = site(name, arch=arch, supports=SLOPING, **teeth).frame
    axes = np.array([frame.a, frame.l, frame.v])

    assert np.eye(3) == pytest.approx(axes @ axes.T)
    assert pytest.approx(1.0) == np.linalg.det(axes)
    assert frame.l[2] == pytest.approx(0.0)
    assert frame.v[2] * out > 0.9
    assert np.cross([0, 0, out], frame.a) @ frame.l > 0


def test_a_bar_straight_out_has_a_frame_all_the_same() -> None:
    frame = site("B", supports={"R": {"at_mm": [0, 20, 0]}, "L": {"at_mm": [0, 20, 5]}}).frame

    assert [0, 0, 1] == frame.a.tolist()
    assert pytest.approx(1.0) == np.linalg.det(np.array([frame.a, frame.l, frame.v]))


@pytest.mark.parametrize(
    ("length", "changes"),
    [
        (Measure(16.0), {}),
        (Measure(16.25), {"supports": {"R": {"diameter_mm": 3.5}}}),
        (Measure(15.0, 0.5), {"segments": {"B": {"length_mm": "15 +- 0.5"}}}),
        (UNKNOWN, {"segments": {"B": {"length_mm": "unknown"}}}),
        (Measure(21.0), {"supports": {"L": {"at_mm": [10, 35, 0]}}}),
    ],
    ids=["centres less two default radii", "one radius given", "measured", "said to be unknown", "oblique 20, 15"],
)
def test_clear_length(length: Measure, changes: dict[str, object]) -> None:
    assert length == site("B", **changes).facts["length_mm"]


@pytest.mark.parametrize(
    ("room", "space", "changes"),
    [
        (Measure(10), Measure(14), {}),
        (Measure(10, 0.75), Measure(14, 0.5), {"room": {"space_mm": "14 +- 0.5", "top_mm": "4 +- 0.25"}}),
        (UNKNOWN, UNKNOWN, {"room": {"space_mm": "unknown"}}),
        (Measure(8), Measure(14), {"segments": {"B": {"top_mm": 6}}}),
        (Measure(9, 0.1), Measure(14), {"segments": {"B": {"room_mm": "9 +- 0.1"}}}),
        (Measure(9), Measure(13), {"room": {"space_mm": "unknown", "room_mm": 9}}),
        (Measure(8), Measure(14), {"room": {"room_mm": 9}, "segments": {"B": {"top_mm": 6}}}),
    ],
    ids=[
        "derived",
        "errors add up",
        "unknown",
        "own top",
        "own room first",
        "space from room and top",
        "own top before the case's room",
    ],
)
def test_room_and_space(room: Measure, space: Measure, changes: dict[str, object]) -> None:
    facts = site("B", **changes).facts

    assert (room, space) == (facts["room_mm"], facts["space_mm"])


def test_the_height_of_the_bar_says_nothing_of_the_platform_under_it() -> None:
    facts = site("R").facts

    assert (Measure(14), UNKNOWN) == (facts["space_mm"], facts["room_mm"])


@pytest.mark.parametrize(
    ("at", "along", "changes"),
    [
        ([18, 20, 0], [1, 0, 0], {}),
        ([-18, 20, 0], [-1, 0, 0], {"ends": {"E": {"on": "R"}}}),
        ([18, 20, 0], [1, 0, 0], {"segments": {"B": {"between": ["L", "R"]}}}),
        ([10, 12, 0], [0, -1, 0], {"ends": {"E": {"at_mm": [10, 12, 0]}}}),
    ],
    ids=["runs on", "at the other support", "segment named backwards", "bent back"],
)
def test_an_end_points_outward(at: list[float], along: list[float], changes: dict[str, object]) -> None:
    end = site("E", **changes)

    assert at == pytest.approx(end.at)
    assert along == pytest.approx(end.frame.a)


@pytest.mark.parametrize(
    ("xs", "count"), [([0.0], 1), ([-3.0, 3.0], 2), ([-6.0, 0.0, 6.0], 3)], ids=["middle", "two", "three"]
)
def test_parts_stand_evenly_about_the_middle(xs: list[float], count: int) -> None:
    spots = site("B").spread(count, 6.0)

    assert xs == [pytest.approx(spot[0]) for spot in spots]


def test_a_base_without_points_takes_first_molars_and_midline() -> None:
    base = Layout(small_case(denture={"left": None, "right": None, "front": None})).base

    assert base.left == pytest.approx(base.right * [-1, 1, 1])
    assert pytest.approx(0.0) == base.front[0]
    assert base.front[1] > base.left[1]


def test_a_lone_support_points_across_the_jaw() -> None:
    layout = Layout(small_case(supports={"R": None}, segments={"B": None}, ends={"E": None}))

    assert [1.0, 0.0, 0.0] == layout.support_direction("L").tolist()
