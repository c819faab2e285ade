"""What a cut counts, and that one made of a weak pull leaves the larger mixes that take it."""

from __future__ import annotations

import math

import pytest

from solver.choose import Options, choose
from solver.cuts import Cut, Cutter
from solver.mechanics import Mechanics
from solver.movement_verdict import Kind, MovementVerdict
from solver.rules import Moves
from tests.solver.small import band, part, small_problem, stock

RULE = Moves("whole", 1.0)


@pytest.mark.parametrize(
    ("expected", "worth"),
    [(set(), 0.5), (set(), 0.4999999), ({0}, 0.499998), ({0}, 0.0), (set(), math.inf)],
    ids=["just enough", "less than the grid shows", "less", "nothing", "more than enough"],
)
def test_only_what_is_worth_less_than_asked_fails_alone(expected: set[int], worth: float) -> None:
    assert expected == Cut(RULE, {"B": {0: worth}}, 0.0, 0.5).alone


def test_no_option_is_worth_more_than_what_is_missing() -> None:
    """0.1 is there and 1 is asked: more than 0.9 makes the cut slack and counts as that."""
    cut = Cut(RULE, {"B": {0: 0.2, 1: math.inf, 2: 5.0}}, 0.1, 1.0)

    assert [200_000, 900_000, 900_000] == [cut.grains("B", i) for i in range(3)]
    assert (900_000, 900_000) == (cut.least_grains, cut.most_grains)


def test_a_pull_too_weak_for_a_mix_may_be_taken_by_a_larger_one() -> None:
    """The ball costs more than the clip, neither takes the pull by itself, both together do."""
    clip = part("clip", price=band(5, 5), retention_n=band(9, 9))
    ball = part("ball", "ball", "end", price=band(9, 9), retention_n=band(9, 9))
    asked = small_problem(stock(clip, ball), wanted={"level_n": 5, "pull_n": {"left": 5}})
    mechanics = Mechanics(asked)
    for option in asked.options:
        assert mechanics.weak_pulls([option], frozenset())

    (mix,) = choose(asked, mechanics, Options()).mixes

    assert ["B=clip", "E=ball"] == [option.candidate.key for option in mix.options]


def test_a_wedge_is_cut_over_all_givers_in_kind_and_over_nothing_else() -> None:
    """Two halves of a bar at a right angle. Clips that turn wedge; one that also tips a little frees them in
    kind, though not by amount; what stands still may stand among its like, and a bare stretch is in nobody's way."""
    clips = {
        "turns": {"hinge_deg": 20},
        "stiffer": {"hinge_deg": 5},
        "tips": {"hinge_deg": 20, "tip_deg": 0.3},
        "sinks": {"hinge_deg": 20, "down_mm": 0.3},
        "rigid": {},
    }
    asked = small_problem(
        stock(*(part(name, movement=moves) for name, moves in clips.items()), part("cut", kind="bare")),
        supports={"R": {"at_mm": [-12, 13, 0]}, "L": {"at_mm": [12, 13, 0]}, "M": {"at_mm": [0, 25, 0]}},
        segments={"A": {"between": ["R", "M"], "section": "round", "width_mm": 1.8}, "B": {"between": ["M", "L"]}},
        ends={"E": None},
    )
    mechanics, at = Mechanics(asked), asked.option_of
    (wedge,) = mechanics.wedges([at["A=turns"], at["B=turns"]], "front")
    (cut,) = Cutter(asked.options, mechanics).against_wedges(RULE, [wedge])
    index = {option.candidate.key: i for i, option in enumerate(asked.options)}

    def passes(one: str, two: str) -> bool:
        return cut.grains("A", index[f"A={one}"]) + cut.grains("B", index[f"B={two}"]) >= cut.least_grains

    assert (index["A=turns"], index["B=turns"]) == cut.together
    assert not passes("turns", "turns")
    assert not passes("turns", "stiffer")
    assert not passes("stiffer", "stiffer")
    for mix in (("tips", "tips"), ("sinks", "sinks"), ("turns", "rigid"), ("rigid", "rigid"), ("cut", "stiffer")):
        assert passes(*mix)
    for name, kind in (("rigid", Kind.STOPPER), ("cut", Kind.IDLE), ("tips", Kind.GIVER)):
        assert kind is mechanics.kind_of(at[f"A={name}"], "front")
    tipping = mechanics.verdicts([at["A=tips"], at["B=tips"]])[1]
    assert MovementVerdict.BOTTOMS is tipping.verdict
    assert tipping.reach < 0.5
