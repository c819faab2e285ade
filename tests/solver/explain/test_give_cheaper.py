"""What a plan that costs less would need, how many rules are given up together, and which mix each set opens."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.models import Catalogue
from solver.case.schema import Case
from solver.choose.master import Master, Outcome, Solved
from solver.explain.algorithms import Ending
from solver.explain.waivers import Footing, Give, Way
from tests.solver.explain.test_give import searched
from tests.solver.small import band, part, small_case, step, stock


def _name(work: str) -> str:
    return work.replace("_", "-")


WORK = ("send_out", "weld", "cut_bar", "bar_off")
STEPS = tuple(step(_name(work), "end", always_with=True, permissions=[work]) for work in WORK)
NONE_ALLOWED = {"allowed": dict.fromkeys(WORK, False)}
TALL: dict[str, Any] = {"ends": {"E": {"room_mm": 1}}, **NONE_ALLOWED}
"""The end stands too high to be left or covered, so it must be cut off; no work is allowed."""
HOLDS = part("holds", price=band(0, 0))
"""Something must hold: a clip that costs nothing."""


def cut(name: str, price: float, *work: str) -> dict[str, Any]:
    """A way to cut the end off that takes these kinds of work."""
    return part(name, "bare", "end", price=band(price, price), steps=[_name(each) for each in work])


def codes(ways: list[Way]) -> list[tuple[str, ...]]:
    return [tuple(rule.code for rule in way.rules) for way in ways]


def names(way: Way) -> list[str]:
    return sorted(candidate.attachment.id for candidate in way.best.mix if candidate.attachment.id != "holds")


def cheaper(most: int, *cuts: dict[str, Any]) -> Give:
    """What would be needed to pay less than 40 EUR for the cut."""
    found = searched(Give(small_case(**TALL), stock(HOLDS, cut("plain", 40), *cuts, steps=STEPS), most=most))
    assert Footing.FITS is found.footing
    assert found.best is not None
    assert 4000 == found.best.cost.high
    return found


ONE = cut("one", 30, "weld")
TWO = cut("two", 20, "send_out", "cut_bar")
THREE = cut("three", 10, "send_out", "cut_bar", "bar_off")
A_WELD, TWO_WORKS = ("allowed:weld",), ("allowed:send_out", "allowed:cut_bar")
THREE_WORKS = (*TWO_WORKS, "allowed:bar_off")


@pytest.mark.parametrize(
    ("expected", "ending", "most", "cuts"),
    [
        ([A_WELD], Ending.COMPLETE, 3, [ONE, TWO, THREE]),
        ([TWO_WORKS], Ending.COMPLETE, 3, [TWO, THREE]),
        ([TWO_WORKS], Ending.COMPLETE, 2, [TWO, THREE]),
        ([THREE_WORKS], Ending.COMPLETE, 3, [THREE]),
        ([], Ending.BOUNDED, 2, [THREE]),
        ([], Ending.BOUNDED, 1, [TWO, THREE]),
        ([], Ending.COMPLETE, 3, []),
        ([], Ending.COMPLETE, 1, [cut("as-dear", 40, "weld")]),
    ],
    ids=[
        "one is enough, so no pair", "a pair, so not three", "a pair is the most", "three", "three are too many",
        "one at most", "nothing costs less", "the same is not less",
    ],
)  # fmt: skip
def test_to_pay_less_as_few_rules_as_any_cheaper_plan_needs(
    expected: list[tuple[str, ...]], ending: Ending, most: int, cuts: list[dict[str, Any]]
) -> None:
    found = cheaper(most, *cuts)

    assert expected == codes(found.ways)
    assert ending is found.ending


def test_each_way_to_pay_less_has_the_cheapest_plan_that_it_opens() -> None:
    found = cheaper(1, ONE, cut("also-welded", 29, "weld"), cut("cut", 35, "cut_bar"))

    assert [("allowed:cut_bar",), ("allowed:weld",)] == sorted(codes(found.ways))
    assert [(["also-welded"], 2900), (["cut"], 3500)] == [(names(way), way.best.cost.high) for way in found.ways]


WEAK_BALL = part("weak", "ball", "end", retention_n=band(1, 1))


def needing(*work: str, hold_n: float = 5) -> tuple[Case, Catalogue]:
    """A clip that needs this work, a hold that it keeps, and a ball that holds too little by itself."""
    steps = tuple(step(_name(each), "segment", always_with=True, permissions=[each]) for each in WORK)
    clip = part("clip", steps=[_name(each) for each in work])
    return small_case(wanted={"level_n": hold_n}, **NONE_ALLOWED), stock(clip, WEAK_BALL, steps=steps)


@pytest.mark.parametrize(
    ("expected", "ending", "work"),
    [
        ([("level",), THREE_WORKS], Ending.COMPLETE, ["send_out", "cut_bar", "bar_off"]),
        ([("level",)], Ending.BOUNDED, WORK),
    ],
    ids=["three", "four"],
)
def test_three_rules_together_are_listed_four_only_where_asked(
    expected: list[tuple[str, ...]], ending: Ending, work: tuple[str, ...]
) -> None:
    """As `--most` says of itself."""
    found = searched(Give(*needing(*work)))

    assert expected == codes(found.ways)
    assert ending is found.ending
    every = searched(Give(*needing(*work), most=4))
    assert (Ending.COMPLETE, 2) == (every.ending, len(every.ways))


GRIPS = (
    part("weak", price=band(10, 10), retention_n=band(1, 2)),
    part("better", price=band(20, 20), retention_n=band(4, 6)),
    part("as-good", price=band(30, 30), retention_n=band(4, 5)),
)


def test_the_mix_that_comes_nearest_is_opened_where_another_rule_goes_with_the_pull() -> None:
    """The cut takes a weld, and no clip takes 20 N at the front: the better one misses it by least."""
    cheapest = stock(cut("welded", 5, "weld"), *GRIPS, steps=STEPS)
    (way,) = searched(Give(small_case(**TALL, wanted={"pull_n": {"front": 20}}), cheapest)).ways

    assert ["allowed:weld", "pulls:front"] == sorted(rule.code for rule in way.rules)
    assert ["better", "welded"] == names(way)


CLIPS = (
    part("firm", price=band(10, 10), retention_n=band(5, 20)),
    part("milder", price=band(20, 20), retention_n=band(5, 9)),
    part("as-mild", price=band(30, 30), retention_n=band(6, 9)),
)


@pytest.mark.parametrize(
    ("expected", "clips"),
    [("milder", CLIPS), ("milder", CLIPS[::2] + CLIPS[1:2]), ("milder", CLIPS[1:]), ("firm", CLIPS[:1])],
    ids=["misses by less", "in any order", "the firm one is not there", "only one"],
)
def test_the_mix_that_asks_least_of_the_hand_is_opened(expected: str, clips: tuple[dict[str, Any], ...]) -> None:
    """The hand lifts 1 N, and 0.305 of every clip is more: 2.74 N of 9, 6.1 of 20."""
    found = searched(Give(small_case(wanted={"level_n": 5, "most_n": 1}), stock(*clips)))
    way = next(way for way in found.ways if way.rules[0].code == "peel")

    assert [expected] == names(way)


def test_where_only_the_cap_goes_the_cheapest_mix_is_opened() -> None:
    dear = part("dear", price=band(20, 20))
    found = searched(Give(small_case(wanted={"level_n": 5}, money={"cap": 9}), stock(part("clip"), dear)))
    way = next(way for way in found.ways if way.rules[0].code == "budget")

    assert ["clip"] == names(way)


@pytest.mark.parametrize("times", range(12))
def test_wherever_time_runs_out_what_was_found_stands_and_nothing_is_called_complete(
    times: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """CP-SAT answers so many questions and then no more; whatever is listed is in the whole list too."""
    world = needing("weld", "cut_bar", hold_n=6)
    whole = codes(searched(Give(*world)).ways)
    solve, asked = Master.solve, [0]

    def limited(self: Master, objective: Any, time_limit_s: float) -> Any:
        asked[0] += 1
        return solve(self, objective, time_limit_s) if asked[0] <= times else Solved(Outcome.UNDECIDED)

    monkeypatch.setattr(Master, "solve", limited)
    found = searched(Give(*world))

    assert set(codes(found.ways)) <= set(whole)
    if found.ending is Ending.COMPLETE:
        assert whole == codes(found.ways)
    else:
        assert Ending.UNDECIDED is found.ending
    if asked[0] <= times:
        assert Ending.COMPLETE is found.ending
        assert found.proof is not None
