"""The bite on a plan: its force, equilibrium on every example, mirror image, scale, and which supports bear it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.files.desk import open_desk
from solver.assess.loads import loads_on
from solver.assess.problem import problem_of
from solver.case.bite_force import bite_force
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.fit.candidate import Candidate
from solver.handbook.point import Point
from solver.handbook.support_spread import outside_mm
from solver.mechanics.bites import BITES, BiteLoad, bite_loads, bite_points, splinted
from tests.solver.small import part, small_case, small_problem, stock

EXAMPLES = sorted((Path(__file__).parents[3] / "docs" / "examples").glob("*.yaml"))


def loads(case: Case, mix: tuple[Candidate, ...] = ()) -> dict[str, BiteLoad]:
    return {bite.name: bite for bite in bite_loads(case, Layout(case), mix)}


@pytest.mark.parametrize(
    ("changes", "band"),
    [
        ({"opposing": "denture"}, (100, 100)),
        ({"opposing": "natural"}, (150, 150)),
        ({"opposing": "implants"}, (150, 150)),
        ({}, (100, 150)),
        ({"bite": {"force_n": 80}}, (80, 80)),
        ({"opposing": "natural", "bite": {"force_n": "80 +- 10"}}, (70, 90)),
        ({"bite": {"force_n": "5 +- 10"}}, (0, 15)),
    ],
    ids=["denture", "natural", "implants", "not known", "given", "given before assumed", "never below nothing"],
)
def test_force_of_the_bite(changes: dict[str, Any], band: tuple[float, float]) -> None:
    assert band == pytest.approx(tuple(bite_force(small_case(**{"bite": None, **changes})).band_n))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_bite_on_every_example_is_in_balance(path: Path) -> None:
    """Forces add up to the bite; their moments, with what is left to the mucosa, to its moment."""
    desk = open_desk(str(path))
    best = plan(desk.case, desk.catalogue).best
    assert best is not None
    layout = Layout(desk.case)

    assert list(BITES) == [bite.name for bite in best.loads.bites]
    for bite in best.loads.bites:
        presses = np.array(bite_points(layout, bite.name, best.loads.force.band_n.high))
        forces = np.array(list(bite.support_n.values()))
        places = np.array([layout.supports[name][:2] for name in bite.support_n])
        assert bite.force_n == pytest.approx(forces.sum(), abs=1e-9)
        assert presses[:, 2] @ presses[:, :2] == pytest.approx(forces @ places + bite.unbalanced_nmm, abs=1e-6)


coordinates = st.tuples(st.floats(-25, 25), st.floats(0, 30))


@given(a=coordinates, b=st.tuples(st.floats(-25, 25), st.floats(35, 60)), c=coordinates)
def test_a_mirrored_mouth_bears_the_mirrored_bite(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]
) -> None:
    left, right = loads(_three(a, b, c)), loads(_three(*((-x, y) for x, y in (a, b, c))))

    for name, image in (("left", "right"), ("right", "left"), ("both", "both"), ("front", "front")):
        assert dict(left[name].support_n) == pytest.approx(dict(right[image].support_n), abs=1e-6, rel=1e-6)
        assert left[name].lever_mm == pytest.approx(right[image].lever_mm, abs=1e-9)


def _three(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> Case:
    supports = {name: {"at_mm": [*at, 0]} for name, at in (("a", a), ("b", b), ("c", c))}
    segments = {"A": {"between": ["a", "b"]}, "B": {"between": ["b", "c"]}}
    return small_case(
        supports={"R": None, "L": None, **supports},
        segments=segments,
        ends={"E": None},
        denture={"left": [24, 0], "right": [-24, 0], "front": [0, 28]},
    )


@given(force=st.floats(1, 700), times=st.floats(1.1, 2.0))
def test_twice_the_bite_is_twice_the_load(force: float, times: float) -> None:
    once = loads(small_case(bite={"force_n": force}))
    more = loads(small_case(bite={"force_n": force * times}))

    for name in BITES:
        scaled = {support: times * n for support, n in once[name].support_n.items()}
        assert scaled == pytest.approx(dict(more[name].support_n), rel=1e-9)
        assert once[name].lever_mm == more[name].lever_mm


def test_a_bite_beyond_two_supports_presses_on_one_and_lifts_the_other() -> None:
    """P (1 + a/b) and -P a/b: Rangert, Jemt and Jörneus 1989 (principle, memory); a = 10, b = 20, 100 N."""
    case = small_case(bite={"force_n": 100}, denture={"bitten_left": [20, 20], "bitten_right": [-20, 20]})
    found = loads(case)

    assert {"R": -50, "L": 150} == pytest.approx(dict(found["left"].support_n))
    assert found["left"].unbalanced_moment_nmm == pytest.approx(0, abs=1e-9)
    assert 10 == pytest.approx(found["left"].lever_mm)
    assert {"R": 50, "L": 50} == pytest.approx(dict(found["both"].support_n))


def test_front_teeth_bring_up_a_third() -> None:
    """Flanagan 2017 (read in part)."""
    found = loads(small_case(bite={"force_n": 90}))

    assert 30 == pytest.approx(found["front"].force_n)
    assert 90 == pytest.approx(found["left"].force_n)


def test_with_the_bar_off_each_support_bears_what_is_nearest() -> None:
    catalogue = stock(part("stud", kind="stud", at="support"))
    mix = tuple(c for c in small_problem(catalogue).fit.usable if c.takes_bar_off)
    found = loads(small_case(bite={"force_n": 100}), mix)

    assert {"R": 0, "L": 100} == pytest.approx(dict(found["left"].support_n))
    assert {"R": 50, "L": 50} == pytest.approx(dict(found["both"].support_n))
    assert {"L": 100} == pytest.approx(dict(loads(small_case(bite={"force_n": 100}), mix[1:])["right"].support_n))


def test_two_bars_share_each_for_itself() -> None:
    """A bite on the left puts nothing on the bar on the right; a lone support beside bars bears nothing."""
    case = small_case(
        supports={"M": {"at_mm": [0, 28, 0]}, "R2": {"at_mm": [-20, 8, 0]}, "L2": {"at_mm": [20, 8, 0]}},
        segments={"B": None, "BR": {"between": ["R", "R2"]}, "BL": {"between": ["L", "L2"]}},
        ends={"E": None},
    )

    assert [{"R", "R2"}, {"L", "L2"}] == splinted(case)
    assert {"R": 0, "R2": 0} == {s: n for s, n in loads(case)["left"].support_n.items() if s in ("R", "R2")}
    assert "M" not in loads(case)["left"].support_n


TRIANGLE = [Point(-10, 0), Point(10, 0), Point(0, 20)]


@pytest.mark.parametrize(
    ("at", "supports", "lever_mm"),
    [
        (Point(0, 5), TRIANGLE, 0),
        (Point(0, 0), TRIANGLE, 0),
        (Point(0, -7), TRIANGLE, 7),
        (Point(13, -4), TRIANGLE, 5),
        (Point(3, 4), [Point(0, 0)], 5),
        (Point(0, 9), [Point(-10, 0), Point(10, 0)], 9),
        (Point(5, 0), [Point(-10, 0), Point(10, 0)], 0),
        (Point(14, 3), [Point(-10, 0), Point(10, 0)], 5),
    ],
    ids=[
        "inside",
        "on an edge",
        "behind",
        "off a corner",
        "one support",
        "beside a bar",
        "on the bar",
        "past its end",
    ],
)
def test_how_far_a_bite_lies_outside_its_supports(at: Point, supports: list[Point], lever_mm: float) -> None:
    assert lever_mm == pytest.approx(outside_mm(at, supports))


def test_cantilever_rules_are_remarks_that_speak_only_where_they_apply() -> None:
    """Ends below every limit, and rules for four supports or for a spread that is not there, say nothing."""
    two = _ends_said(small_case(ends={"E": {"length_mm": 16}}))
    short = _ends_said(_four(4))
    long = _ends_said(_four(10))

    assert ["fixed-lower"] == two
    assert [] == short
    assert ["bar-four-implants"] == long


def _four(length_mm: float) -> Case:
    """Spread 12 mm: 10 mm between the lines, half a collar of 4 mm behind."""
    more = {"R2": {"at_mm": [-20, 10, 0]}, "L2": {"at_mm": [20, 10, 0]}}
    segments = {"BR": {"between": ["R", "R2"]}, "BL": {"between": ["L", "L2"]}}
    return small_case(supports=more, segments=segments, ends={"E": {"on": "L2", "length_mm": length_mm}})


def _ends_said(case: Case) -> list[str]:
    problem = problem_of(case, stock(part("clip")))
    found = loads_on(problem, ())
    return [note.rule.code for end in found.cantilevers for note in end.notes]
