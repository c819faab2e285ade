"""How much of all retention each side can count on: layouts of the usual arch, another solver, and laws."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.audit.second_opinion.places import Map
from solver.audit.second_opinion.pulled import Pulled
from solver.audit.second_opinion.world import World
from solver.case.layout import Layout
from solver.case.rules import Spread
from solver.handbook.point import Point
from solver.handbook.teeth import tooth_position
from solver.mechanics.hold import PullModel
from solver.mechanics.pulls import contact_points, pull_points
from solver.mechanics.side_share import BestShare, best_share, best_shares, places_of
from tests.solver.small import band, part, small_problem, stock

CLIP = part("clip", retention_n=band(5, 8))
STRONG_CLIP = part("strong-clip", retention_n=band(10, 16))
BALL = part("ball", "ball", "end", retention_n=band(5, 8))
STUD = part("stud", "stud", "support", retention_n=band(5, 8))


def bar(*teeth: int, ends: bool = False) -> Problem:
    """A bar from tooth to tooth of the usual lower arch, segments A, B, C, with ends of 8 mm in line with it."""
    names = [f"S{tooth}" for tooth in teeth]
    segments = {name: {"between": list(pair)} for name, pair in zip("ABC", pairwise(names), strict=False)}
    balls = {name: {"on": on, "length_mm": 8} for name, on in (("E1", names[0]), ("E2", names[-1]))}
    return small_problem(
        stock(CLIP, STRONG_CLIP, BALL, STUD),
        supports={"R": None, "L": None, **{name: {"tooth": tooth} for name, tooth in zip(names, teeth, strict=True)}},
        segments={"B": None, **segments},
        ends={"E": None, **(balls if ends else {})},
        denture={"left": None, "right": None, "front": None},
    )


TWO, FOUR, ENDED = bar(43, 33), bar(44, 42, 32, 34), bar(44, 42, 32, 34, ends=True)


def share(problem: Problem, *keys: str) -> float:
    """What the weaker side takes of all retention, as the rule tells it."""
    mix = assess(problem, Mechanics(problem), [problem.option_of[key] for key in keys])
    return Spread(1.0, best_shares(problem.layout, problem.options), "invented").shortfall(mix).have


@pytest.mark.parametrize(
    ("expected", "problem", "keys"),
    [
        (0.46, ENDED, ["E1=ball", "E2=ball"]),
        (0.36, ENDED, ["E1=ball", "E2=ball", "B=strong-clip"]),
        (0.30, FOUR, ["A=clip", "C=clip"]),
        (0.29, TWO, ["A=clip"]),
        (0.20, FOUR, ["B=clip"]),
        (0.05, ENDED, ["E1=ball"]),
        (0.12, FOUR, ["C=clip"]),
    ],
    ids=["balls at the ends", "balls, front clip", "clips left, right", "clip on two", "front clip", "ball", "clip"],
)
def test_shares_are_those_that_the_rule_was_calibrated_with(
    expected: float, problem: Problem, keys: list[str]
) -> None:
    """Our own trial, border 5 mm out and 10 mm behind: by brute force, with clips of twice the hold of a ball."""
    assert expected == pytest.approx(share(problem, *keys), abs=0.03)


def test_one_clip_is_the_best_that_a_bar_on_two_supports_has() -> None:
    assert best_shares(TWO.layout, TWO.options).bar_on == pytest.approx(share(TWO, "A=clip"))
    assert best_shares(TWO.layout, TWO.options).bar_off == pytest.approx(share(TWO, "S43=stud", "S33=stud"))


def test_bar_on_and_bar_off_are_told_apart() -> None:
    """The ends of the bar reach farther back than its supports; without any part there is no share."""
    ended, four = best_shares(ENDED.layout, ENDED.options), best_shares(FOUR.layout, FOUR.options)

    assert share(ENDED, "E1=ball", "E2=ball") == pytest.approx(ended.bar_on)
    assert share(FOUR, "S44=stud", "S34=stud") == pytest.approx(four.bar_off)
    assert ended.bar_on > four.bar_off > four.bar_on
    assert (0, 0) == (best_shares(TWO.layout, []).bar_on, best_shares(TWO.layout, []).bar_off)


def test_what_holds_nothing_gives_no_place() -> None:
    cut = small_problem(stock(part("clip", retention_n=band(0, 5))))

    assert cut.options
    assert 0 == best_shares(cut.layout, cut.options).bar_on
    assert [Point(0, 20)] == places_of(cut.options)


def test_the_share_of_nothing_is_none() -> None:
    assert 0 == share(TWO)


places = st.lists(st.tuples(st.integers(-26, 26), st.integers(-10, 30)), min_size=1, max_size=6, unique=True).map(
    lambda drawn: [Point(float(x), float(y)) for x, y in drawn]
)
weights = st.lists(st.floats(0.01, 1), min_size=6, max_size=6)


@given(places, weights)
def test_no_distribution_beats_the_best_and_the_best_is_reached(at: list[Point], drawn: list[float]) -> None:
    layout = TWO.layout
    best = best_share(layout, at)

    assert 1 == pytest.approx(sum(best.weights))
    assert _weaker(layout, at, list(best.weights)) == pytest.approx(best.share, abs=1e-6)
    some = np.array(drawn[: len(at)]) / sum(drawn[: len(at)])
    assert _weaker(layout, at, some.tolist()) <= best.share + 1e-7


@given(places)
def test_another_solver_finds_the_same_best(at: list[Point]) -> None:
    """By lift fields, the dual of the programme of ours."""
    spots = [np.array([*place, 0.0]) for place in at]
    second = Pulled(Map(World(TWO.case, TWO.catalogue)))

    assert second.best_share(spots) == pytest.approx(best_share(TWO.layout, at).share, abs=1e-6)


@given(places)
def test_a_mirrored_jaw_has_the_same_best_and_a_place_more_never_lowers_it(at: list[Point]) -> None:
    mirrored = [Point(-x, y) for x, y in at]

    assert best_share(TWO.layout, at).share == pytest.approx(best_share(TWO.layout, mirrored).share, abs=1e-6)
    assert best_share(TWO.layout, at[1:]).share <= best_share(TWO.layout, at).share + 1e-7


def test_no_places_have_no_share() -> None:
    assert BestShare(0.0, ()) == best_share(TWO.layout, [])


def test_clips_on_a_wider_bar_have_more() -> None:
    """A point of the arch farther back on both sides: the lever of each is longer."""
    layout = TWO.layout
    pairs = [[Point(*tooth_position(one)), Point(*tooth_position(other))] for one, other in ((32, 42), (34, 44))]

    assert best_share(layout, pairs[0]).share < best_share(layout, pairs[1]).share


def _weaker(layout: Layout, at: list[Point], retentions: list[float]) -> float:
    model, pulled = PullModel(at, contact_points(layout)), pull_points(layout)
    return min(model.largest_pull(retentions, pulled[side]).hold_n for side in ("left", "right"))
