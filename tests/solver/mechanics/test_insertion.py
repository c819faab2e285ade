"""The common path of insertion: angles on a sphere, worked by hand and against random directions."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.wording.insertion import sentence
from solver.mechanics.insertion import Cap, Insertion, angle_rad, axis_of, common_direction, insertion, spare_of
from tests.solver.small import need, part, small_problem, stock

OUT = np.array([0.0, 0.0, 1.0])
STUD = part("stud", "stud", "support", needs=[need("tilt_deg", at_most=10)])
WIDE = part("stud", "stud", "support", needs=[need("tilt_deg", at_most=20)])


def path(*leans: tuple[float | str, float | None], stud: dict[str, Any] = STUD, arch: str = "lower") -> Insertion:
    """The path over studs in a row, each with its tilt and where it leans to."""
    supports: dict[str, Any] = {"R": None, "L": None}
    for index, (tilt, towards) in enumerate(leans):
        supports[f"S{index}"] = {"at_mm": [10 * index, 20, 0], "tilt_deg": tilt, "tilt_towards": towards}
        if towards is None:
            del supports[f"S{index}"]["tilt_towards"]
    ends = {"segments": {"B": None}, "ends": {"E": None}}
    base = {"denture": {"left": None, "right": None, "front": None}} if arch == "upper" else {}
    problem = small_problem(stock(stud), arch=arch, supports=supports, **ends, **base)
    mix = [site.every[0] for site in problem.fit.sites]
    found = insertion(problem.case, problem.layout.out, mix)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("leans", "spare", "straight", "lean", "against"),
    [
        ([(6, 90), (6, 270)], 4, 4, 0, ()),
        ([(15, 90), (15, 270)], -5, -5, 0, ("S0", "S1")),
        ([(15, 0), (15, 0)], 10, -5, 15, ()),
        ([(4, 0), (12, 180)], 2, -2, 4, ()),
        ([(4, 0), (6, 0), (30, 180)], -8, -20, 12, ("S1", "S2")),
        ([(6, None), (4, None)], 4, 4, 0, ()),
        ([(12, None), (4, 90)], -2, -2, 0, ("S0",)),
    ],
    ids=[
        "apart", "too far apart", "side by side", "uneven", "the worst pair", "any way", "beyond it in any case",
    ],
)  # fmt: skip
def test_a_path_by_hand(
    leans: list[tuple[float, float | None]],
    spare: float,
    straight: float,
    lean: float,
    against: tuple[str, ...],
) -> None:
    found = path(*leans)

    assert spare == pytest.approx(found.spare_deg, abs=1e-6)
    assert straight == pytest.approx(found.straight_deg, abs=1e-6)
    assert lean == pytest.approx(found.lean_deg, abs=1e-5)
    assert against == found.against


@pytest.mark.parametrize(("tilt", "fits"), [(19.9, True), (20.1, False)])
def test_studs_for_divergent_supports_take_forty_degrees_between_them(tilt: float, fits: bool) -> None:
    """Shafie and Obeid p. 5 (read; a review that partly rests on makers' data): 20 degrees each, 40 between two."""
    assert fits is (path((tilt, 90), (tilt, 270), stud=WIDE).against == ())


def test_three_may_share_no_path_where_every_two_do() -> None:
    """Helly on the sphere: leaning 12 degrees at thirds of a turn, any two are 2 asin(sin 12 sin 60) = 20.7 apart."""
    found = path(
        (12, 0), (12, 120), (12, 240), stud=part("s", "stud", "support", needs=[need("tilt_deg", at_most=11)])
    )

    assert ("S0", "S1", "S2") == found.against
    assert -1 == pytest.approx(found.spare_deg, abs=1e-6)


def test_an_error_of_the_tilt_is_taken_off_the_tolerance() -> None:
    assert 8 == pytest.approx(path(("6 +- 2", 0), ("6 +- 2", 0)).spare_deg, abs=1e-6)


def test_the_upper_jaw_mirrors_the_lower() -> None:
    lower, upper = (path((15, 30), (5, 200), arch=arch) for arch in ("lower", "upper"))

    assert lower.spare_deg == pytest.approx(upper.spare_deg)
    assert lower.towards_deg == pytest.approx(upper.towards_deg)


def test_nothing_that_asks_for_a_path_has_none() -> None:
    problem = small_problem(stock(part("clip")))

    assert insertion(problem.case, OUT, [problem.options[0].candidate]) is None


caps = st.lists(st.tuples(st.floats(0, 40), st.floats(0, 359.9), st.floats(1, 30)), min_size=1, max_size=5)


@given(caps, st.floats(0, 60), st.floats(0, 359.9))
def test_no_direction_leaves_more_to_spare(drawn: list[tuple[float, float, float]], tilt: float, way: float) -> None:
    some = [Cap(f"S{i}", axis_of(t, a, OUT), math.radians(r)) for i, (t, a, r) in enumerate(drawn)]

    spare, best = common_direction(some)

    assert 1 == pytest.approx(float(np.linalg.norm(best)))
    assert spare_of(some, axis_of(tilt, way, OUT)) <= spare + 1e-6
    near = axis_of(tilt / 30, way, best)
    assert spare_of(some, near / np.linalg.norm(near)) <= spare + 1e-6
    assert min(cap.within_rad for cap in some) >= spare - 1e-12
    assert all(cap.within_rad - spare >= angle_rad(cap.axis, best) - 1e-9 for cap in some)


@pytest.mark.parametrize(
    ("leans", "said"),
    [
        ([(6, 90), (6, 270)], "one path of insertion serves all: straight, 4.0 degrees in hand"),
        ([(15, 0), (15, 0)], "one path of insertion serves all: leaning 15.0 degrees forwards, 10.0 degrees in hand"),
        (
            [(15, 90), (15, 270)],
            "no common path of insertion: S0 and S1 are 5.0 degrees beyond what is allowed",
        ),
        (
            [(6, None), (4, 90)],
            "one path of insertion serves all: straight, 4.0 degrees in hand; worst lean of S0 assumed",
        ),
        (
            [(6, 90), ("unknown", 90)],
            "one path of insertion serves all: leaning 6.0 degrees left, 10.0 degrees in hand; tilt of S1 not known "
            "and not counted",
        ),
    ],
    ids=["straight", "leaning", "none", "any way", "unknown"],
)
def test_the_path_in_a_sentence(leans: list[tuple[float | str, float | None]], said: str) -> None:
    assert said == sentence(path(*leans))
