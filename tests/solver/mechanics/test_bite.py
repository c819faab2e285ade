"""The bite on a plan: its force, equilibrium on every example, mirror image, scale, and which supports bear it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from solver.assess.loads import loads_on
from solver.assess.problem import problem_of
from solver.case.bite_force import bite_force
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.handbook.point import Point
from solver.handbook.support_spread import outside_mm
from solver.mechanics.bites import BITES, bite_points, splinted
from tests.solver.small import part, small_case, stock

EXAMPLES = sorted((Path(__file__).parents[3] / "docs" / "examples").glob("*.yaml"))


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


def test_bites_press_where_the_base_is_bitten_each_with_its_share() -> None:
    """One side whole; both sides 1.3 times as hard (569 over 430 N, van der Bilt et al. 2008); front a third
    (Flanagan 2017, read in part).
    """
    layout = Layout(small_case(denture={"bitten_left": [20, 8], "bitten_right": [-21, 9], "front": [0, 28]}))
    found = {name: [tuple(press) for press in bite_points(layout, name, 90.0)] for name in BITES}

    assert [(20, 8, 90)] == found["left"]
    assert [(-21, 9, 90)] == found["right"]
    assert [(20, 8, 58.5), (-21, 9, 58.5)] == found["both"]
    assert [(0, 28, 30)] == [pytest.approx(press) for press in found["front"]]


def test_pieces_of_bar_are_groups_and_a_lone_support_beside_bars_is_none() -> None:
    case = small_case(
        supports={"M": {"at_mm": [0, 28, 0]}, "R2": {"at_mm": [-20, 8, 0]}, "L2": {"at_mm": [20, 8, 0]}},
        segments={"B": None, "BR": {"between": ["R", "R2"]}, "BL": {"between": ["L", "L2"]}},
        ends={"E": None},
    )

    assert [{"R", "R2"}, {"L", "L2"}] == splinted(case)


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
