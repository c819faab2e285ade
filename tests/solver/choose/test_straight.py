"""The short way to the optimum: what it settles is right, and what it hands on has lost no mix that stands."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from typing import Any

import pytest

from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.retention import Condition
from solver.case.rules import LevelPull, Pulls, Rule
from solver.choose.hold_bound import CheapestMix
from solver.choose.ranking import best_first
from solver.choose.shortcut import Straight, go_straight
from solver.mechanics.option import Option
from tests.referee.every_mix import Broken
from tests.solver.parts import HINGE, RIGID
from tests.solver.small import FREE, band, part, small_problem, step, stock
from tests.solver.trying_all import FIT, GIVE, keeping, problem, rank


def options_of(asked: Problem) -> list[Option]:
    return [option for option in asked.options if not option.needs_waived]


def straight(asked: Problem, least: Least = "now", until: float = math.inf) -> Straight:
    return go_straight(asked, Mechanics(asked), options_of(asked), least, until)


def unwaived(seed: int) -> list[Broken]:
    return [mix for mix in keeping(seed) if not any(option.needs_waived for option in mix.options)]


@pytest.mark.parametrize("least", ["now", "years"])
@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_what_is_settled_is_best_and_what_is_handed_on_loses_no_mix(seed: int, least: Least) -> None:
    asked, every = problem(seed), unwaived(seed)
    found = straight(asked, least)

    if found.settled and found.mix is not None:
        cost, years = found.mix.cost.high, found.mix.cost_years.high
        best = rank(Broken(found.mix.options, cost, frozenset(), years), least)
        assert min(rank(mix, least) for mix in every) == best
    elif found.settled:
        assert [] == every
    else:
        assert all(set(mix.options) <= set(found.options) for mix in every)


@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_without_time_everything_is_handed_on(seed: int) -> None:
    asked = problem(seed)

    assert Straight(False, None, tuple(options_of(asked)), 0, 0) == straight(asked, until=time.monotonic() - 1)


STEPS = (
    step("off", "support", always_with=True, once=True, price=band(7, 7), permissions=["bar_off"]),
    step("send", "segment", always_with=True, once=True, price=band(3, 3)),
)


def clip(name: str, price: float, low_n: float = 5, high_n: float = 8, **more: Any) -> dict[str, Any]:
    return part(name, price=band(price, price), retention_n=band(low_n, high_n), **more)


RIGID_CLIP, STIFF_CLIP = clip("rigid", 5, movement=RIGID), clip("stiff", 6, movement=RIGID)
HINGED, FREE_CLIP = clip("hinged", 7, movement=HINGE), clip("free", 8, movement=FREE)


@pytest.mark.parametrize(
    ("expected", "rounds", "parts", "changes"),
    [
        (["free"], 1, [FREE_CLIP], {}),
        (["free"], 2, [RIGID_CLIP, FREE_CLIP], {}),
        (["free"], 2, [RIGID_CLIP, STIFF_CLIP, FREE_CLIP], {}),
        (None, 1, [clip("weak", 1, 4.9)], {}),
        (None, 2, [RIGID_CLIP, STIFF_CLIP], {}),
        (["free"], 1, [FREE_CLIP], {"money": {"cap": 8}}),
        (["free"], 1, [FREE_CLIP], {"wanted": {"level_n": 5, "most_n": 2.44}}),
        (["free"], 1, [FREE_CLIP], {"wanted": {"level_n": 5, "pull_n": {"left": 1.52}}}),
        (["sent"], 1, [clip("sent", 2, steps=["send"])], {}),
    ],
    ids=[
        "stands at once", "the cheapest binds", "one proof for both", "nothing holds enough",
        "all bind", "border of the cap", "just lifted at an edge", "just holds at a side",
        "a charge that any mix pays",
    ],
)  # fmt: skip
def test_settled(
    expected: list[str] | None, rounds: int, parts: Sequence[dict[str, Any]], changes: dict[str, Any]
) -> None:
    """A clip that cannot tip binds by itself; it goes, and with it every other that moves alike.

    At the easiest edge, a side, 0.305 of a retention is taken: 1.525 N of 5, 2.440 of 8.
    """
    found = straight(small_problem(stock(*parts, steps=STEPS), **{"wanted": {"level_n": 5}, **changes}))

    assert found.settled
    assert expected == (None if found.mix is None else [candidate.attachment.id for candidate in found.mix.mix])
    assert rounds == found.rounds
    assert (found.cuts > 0) == (rounds > 1)


def test_what_binds_at_one_site_is_asked_at_the_others_in_the_same_round() -> None:
    """Two bars in line, and either is too little for the hold: both rigid clips go at once."""
    asked = small_problem(
        stock(RIGID_CLIP, FREE_CLIP),
        supports={"M": {"at_mm": [0, 20, 0]}},
        segments={"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], **BAR}},
        wanted={"level_n": 10},
    )

    found = straight(asked)

    assert found.mix is not None
    assert ("B=free", "C=free") == found.mix.keys
    assert (True, 2) == (found.settled, found.rounds)


@pytest.mark.parametrize("down_mm", [0.06, 0.1, 0.15, 0.2])
def test_what_moves_just_as_far_as_is_asked_is_not_cut_off_with_what_moves_less(down_mm: float) -> None:
    """Settling is 0.3 mm: a clip that gives by a part of it reaches that share, and a dearer one is not needed."""
    less, enough, dearer = (
        clip(name, price, movement={**FREE, "down_mm": gives})
        for name, price, gives in (("less", 5, 0.05), ("enough", 6, down_mm), ("dearer", 7, 0.3))
    )
    wanted = {"level_n": 5, "movement": {"whole": down_mm / 0.3}}
    found = straight(small_problem(stock(less, enough, dearer), wanted=wanted))

    assert found.mix is not None
    assert (["B=enough"], 2) == ([*found.mix.keys], found.rounds)


BAR = {"section": "round", "width_mm": 1.8, "undercut_mm": 0.3, "alloy": "titanium-alloy"}


@pytest.mark.parametrize(
    ("left", "parts", "changes"),
    [
        (["free"], [FREE_CLIP], {"money": {"cap": 7.99}}),
        (["free"], [FREE_CLIP], {"wanted": {"level_n": 5, "most_n": 2.43}}),
        (["free"], [RIGID_CLIP, FREE_CLIP], {"money": {"cap": 7.99}}),
        (["free"], [FREE_CLIP], {"wanted": {"level_n": 5, "pull_n": {"front": 4.5}}}),
        (["free", "sent"], [clip("sent", 7, steps=["send"]), FREE_CLIP], {}),
    ],
    ids=[
        "over the cap",
        "too firm at an edge",
        "binds, then over the cap",
        "tips",
        "a charge that not every mix pays",
    ],
)
def test_handed_on(left: list[str], parts: Sequence[dict[str, Any]], changes: dict[str, Any]) -> None:
    """What the hold alone does not decide, and no single option is to blame for, is for CP-SAT."""
    found = straight(small_problem(stock(*parts, steps=STEPS), **{"wanted": {"level_n": 5}, **changes}))

    assert (False, None) == (found.settled, found.mix)
    assert left == sorted(option.candidate.attachment.id for option in found.options)


def test_where_nothing_is_asked_the_cheapest_that_holds_stands() -> None:
    """Nothing at all would cost less, but it holds nothing."""
    idle = clip("idle", 1, 0, 3)
    found = straight(small_problem(stock(FREE_CLIP, idle), wanted={"level_n": 0}))

    assert found.settled
    assert found.mix is not None
    assert ("B=free",) == found.mix.keys


def cheapest(asked: Problem, left_out: Sequence[str] = ()) -> tuple[int, list[str]] | None:
    """The bound in cents (of a ranking by cost, questions, parts) and the keys that come nearest to it."""
    options = asked.options
    ranking = best_first(asked, options)
    out = [i for i, option in enumerate(options) if option.candidate.key in left_out]
    found = CheapestMix(options, ranking).of(out, asked.rules)
    if found is None:
        return None
    cent = ranking.once["off"] // 700
    return found.least // cent, [options[i].candidate.key for i in found.picked]


STUD = part("stud", "stud", "support", price=band(4, 4), retention_n=band(5, 8), steps=["off"])
BALL = part("ball", "ball", "end", price=band(9, 9))
BOTH = stock(FREE_CLIP, STUD, BALL, steps=STEPS)


@pytest.mark.parametrize(
    ("expected", "changes", "left_out"),
    [
        ((800, ["B=free"]), {"wanted": {"level_n": 0}}, []),
        ((800, ["B=free"]), {}, []),
        ((900, ["E=ball"]), {}, ["B=free"]),
        ((1100, ["R=stud"]), {}, ["B=free", "E=ball"]),
        ((1500, ["R=stud", "L=stud"]), {"wanted": {"level_n": 10}}, []),
        ((1700, ["B=free", "E=ball"]), {"wanted": {"level_n": 10}}, ["L=stud"]),
        (None, {"wanted": {"level_n": 10.001}}, []),
        ((900, ["E=ball"]), {"ends": {"E": {"room_mm": 4.4}}}, ["R=stud", "L=stud"]),
        ((1100, ["R=stud"]), {"wanted": {"level_n": 0}, "ends": {"E": {"room_mm": 1}}}, []),
        ((1500, ["R=stud", "L=stud"]), {"wanted": {"level_n": 10}, "ends": {"E": {"room_mm": 1}}}, []),
        (None, {"arch": "upper", "wanted": {"level_n": 5}}, ["B=free", "E=ball"]),
    ],
    ids=[
        "something holds", "a clip", "without it", "bar off, paid once", "two studs, bar off paid once",
        "with one stud",
        "more than all hold", "the end must be covered", "a bar off leaves no end", "two of them", "splinted",
    ],
)  # fmt: skip
def test_the_cheapest_by_hold_cover_and_splint(
    expected: tuple[int, list[str]] | None, changes: dict[str, Any], left_out: Sequence[str]
) -> None:
    """8 EUR on the bar, 9 on its end, 4 on a support and 7 once for taking the bar off; each holds 5 N."""
    upper = {"denture": {"left": None, "right": None, "front": None}} if "arch" in changes else {}
    asked = small_problem(BOTH, **{"wanted": {"level_n": 5}, "allowed": {"bar_off": True}, **upper, **changes})

    assert expected == cheapest(asked, left_out)


@pytest.mark.parametrize(
    ("expected", "rules"),
    [
        ([], []),
        (["B=free"], [LevelPull(5)]),
        (["R=stud", "L=stud"], [LevelPull(5), LevelPull(10)]),
        (["B=free"], [LevelPull(5), LevelPull(0)]),
        (["B=free"], [Pulls("front", 5)]),
        (["R=stud", "L=stud"], [Pulls("front", 5), Pulls("left", 10)]),
        (["R=stud", "L=stud"], [LevelPull(5), Pulls("left", 10, Condition.WORN)]),
    ],
)
def test_of_the_rules_given_the_highest_floor_counts_and_none_asks_nothing(
    expected: list[str], rules: list[Rule]
) -> None:
    asked = small_problem(BOTH, allowed={"bar_off": True})
    options = asked.options

    found = CheapestMix(options, best_first(asked, options)).of((), rules)

    assert found is not None
    assert expected == [options[i].candidate.key for i in found.picked]
