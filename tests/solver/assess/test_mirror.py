"""Mirror sites: which are, what is like what on them, and what a mix has that is not."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.assessment import assess
from solver.assess.mirror import MIDDLE_MM, MIRROR_MM, likes, unlike
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Alike
from tests.solver.small import band, need, part, small_problem, step, stock, waive

STUD = part("stud", "stud", "support")
BALL = part("ball", "ball", "end")


def at(**spots: tuple[float, float]) -> dict[str, Any]:
    """Supports at these places and no bar."""
    supports = {"R": None, "L": None, **{name: {"at_mm": [*spot, 0]} for name, spot in spots.items()}}
    return {"supports": supports, "segments": {"B": None}, "ends": {"E": None}}


PAIRS: dict[str, tuple[dict[str, str], dict[str, Any]]] = {
    "two": ({"a": "b", "b": "a"}, at(a=(-10, 20), b=(10, 20))),
    "just near enough": ({"a": "b", "b": "a"}, at(a=(-10, 20), b=(10 + MIRROR_MM, 20))),
    "not near enough": ({}, at(a=(-10, 20), b=(10.1 + MIRROR_MM, 20))),
    "not near enough, one farther back": ({}, at(a=(-10, 20), b=(10, 11.9))),
    "on one side": ({}, at(a=(4, 20), b=(10, 20))),
    "near the middle": ({}, at(a=(-MIDDLE_MM, 25), b=(MIDDLE_MM, 25))),
    "just off the middle": ({"a": "b", "b": "a"}, at(a=(-MIDDLE_MM - 0.1, 25), b=(MIDDLE_MM + 0.1, 25))),
    "the nearest pair first": ({"a": "c", "c": "a"}, at(a=(-10, 20), b=(15, 20), c=(11, 20))),
    "each only once": (
        {"a": "c", "c": "a", "b": "d", "d": "b"}, at(a=(-10, 20), b=(-14, 18), c=(11, 20), d=(12, 20)),
    ),
    "one in the middle has none": ({"a": "c", "c": "a"}, at(a=(-10, 20), b=(0, 25), c=(10, 20))),
}  # fmt: skip


@pytest.mark.parametrize(("expected", "changes"), PAIRS.values(), ids=PAIRS)
def test_pairs_of_supports(expected: dict[str, str], changes: dict[str, Any]) -> None:
    """Near enough is a premolar's width of 8 mm, the middle 2 mm to each side: chosen, no source."""
    assert expected == small_problem(stock(STUD), **changes).mirrors


def test_only_sites_of_one_kind_are_mirrored() -> None:
    """The end stands 18 mm to the left, its like on the right 8 mm from the support there: supports and ends pair."""
    ends = {"F": {"on": "R", "length_mm": 8}}

    assert {"R": "L", "L": "R"} == small_problem(stock(STUD)).mirrors
    assert {"R": "L", "L": "R", "E": "F", "F": "E"} == small_problem(stock(STUD), ends=ends).mirrors


def test_the_midline_is_that_of_the_denture() -> None:
    """Halfway between its last teeth, square to the line through them: here 10 mm to the left."""
    moved = {**at(a=(0, 20), b=(20, 20)), "denture": {"left": [34, 0], "right": [-14, 0]}}

    assert {"a": "b", "b": "a"} == small_problem(stock(STUD), **moved).mirrors
    assert {} == small_problem(stock(STUD), **at(a=(0, 20), b=(20, 20))).mirrors


def of(*parts: dict[str, Any], **changes: Any) -> Problem:
    """Two supports 20 mm apart, the second with less room."""
    steps = (step("angle", "support", permissions=["weld"]), step("off", "support", always_with=True))
    return small_problem(stock(*parts, steps=steps), **{**at(R=(-10, 20), L=(10, 20)), **changes})


def liked(problem: Problem, key: str, mirror: str) -> list[str]:
    there = problem.options_at(mirror)
    return [there[i].candidate.label for i in likes(problem.option_of[key], there)]


def test_the_same_part_and_steps_are_like_each_other() -> None:
    problem = of(STUD, part("other", "stud", "support"), part("angled", "stud", "support", steps=["off"]))

    for label in ("stud", "other", "angled"):
        assert [label] == liked(problem, f"R={label}", "L")


WAIVED = part("short", "stud", "support", needs=[need("space_mm", at_least=12, waive=waive(3))])
ROOM = {"supports": {"R": {"space_mm": 12}, "L": {"space_mm": 10}}}


@pytest.mark.parametrize(
    ("expected", "key", "mirror"), [([], "R=short", "L"), (["short"], "L=short", "R")], ids=["more", "less"]
)
def test_what_needs_more_given_up_there_is_no_part_that_the_site_can_take(
    expected: list[str], key: str, mirror: str
) -> None:
    asked = at(R=(-10, 20), L=(10, 20))
    rooms = {name: {**asked["supports"][name], **room} for name, room in ROOM["supports"].items()}
    problem = small_problem(stock(WAIVED), **{**asked, "supports": {**asked["supports"], **rooms}})

    assert expected == liked(problem, key, mirror)


CAPPED = (
    part("ball", "ball", "end", needs=[need("ball_mm", at_least=2.1)]),
    part("cheap", "ball", "end", price=band(5, 5)),
)
ENDS = {"F": {"on": "R", "length_mm": 8, "ball_mm": 2.0}}


def ends() -> Problem:
    """A sound ball on the left, a worn one on the right that must be capped first."""
    return small_problem(stock(*CAPPED, steps=(step("cap", "end", makes={"ball_mm": 2.2}),)), ends=ENDS)


def test_steps_may_differ_where_the_mirror_site_cannot_have_the_same() -> None:
    problem = ends()

    assert ["ball + cap"] == liked(problem, "E=ball", "F")
    assert ["ball"] == liked(problem, "F=ball + cap", "E")
    assert ["cheap"] == liked(problem, "E=cheap", "F")


MIXES: dict[str, tuple[list[tuple[str, str, str]], tuple[str, ...]]] = {
    "nothing": ([], ()),
    "the same on both": ([], ("E=cheap", "F=cheap")),
    "a sound and a capped ball": ([], ("E=ball", "F=ball + cap")),
    "one alone": ([("E", "F", "E=cheap")], ("E=cheap",)),
    "the other alone": ([("F", "E", "F=cheap")], ("F=cheap",)),
    "two different": ([("E", "F", "E=ball"), ("F", "E", "F=cheap")], ("E=ball", "F=cheap")),
}


@pytest.mark.parametrize(("expected", "keys"), MIXES.values(), ids=MIXES)
def test_what_stands_on_a_site_and_not_on_its_mirror(
    expected: list[tuple[str, str, str]], keys: tuple[str, ...]
) -> None:
    problem = ends()
    options = [problem.option_of[key] for key in keys]

    assert expected == list(unlike(problem, options))
    assert (not expected) is Alike(0.1, "").kept(assess(problem, Mechanics(problem), options))


def test_what_the_mirror_site_cannot_take_at_all_is_not_missed_there() -> None:
    """The ball on the right is too thin for the only part, and nobody caps it."""
    problem = small_problem(stock(CAPPED[0]), ends=ENDS)

    assert () == unlike(problem, [problem.option_of["E=ball"]])
