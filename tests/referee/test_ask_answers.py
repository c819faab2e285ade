"""What to ask, against the answers themselves: every combination of good and bad ones put into the case and planned.

`test_ask` enumerates mixes under sets of answers; here the values stand in the case, and nothing is left to ask.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from functools import cache
from itertools import chain, combinations
from math import inf, isinf
from typing import Any, NamedTuple

import pytest

from catalogue.models import Catalogue
from solver.assess.assessment import Status
from solver.choose.master import Outcome
from solver.choose.plan import plan
from solver.explore.questions import Ask, ask
from solver.fit.candidate import Question
from tests.solver.small import band, need, part, small_case, stock

SEEDS = range(25)

UNDERCUT, GAP, BALL = map(Question.read, ("segments.B.undercut_mm", "segments.B.gap_mm", "ends.E.ball_mm"))
GOOD: Mapping[Question, float] = {UNDERCUT: 0.8, GAP: 4.0, BALL: 2.2}
BAD: Mapping[Question, float] = {UNDERCUT: 0.1, GAP: 0.2, BALL: 3.5}
NEEDS = {
    "undercut_mm": need("undercut_mm", at_least=0.3),
    "gap_mm": need("gap_mm", at_least=1),
    "ball_mm": need("ball_mm", at_least=2, at_most=2.4),
}

Known = frozenset[Question]


class World(NamedTuple):
    """Parts with needs, prices and retentions at random, and how firmly the denture is to hold."""

    stock: Catalogue
    hold_n: float


def world(seed: int) -> World:
    rng = random.Random(seed)

    def made(name: str, kind: str, at: str, on: list[str]) -> dict[str, Any]:
        low, price = rng.randint(2, 7), rng.randint(5, 60)
        needs = [NEEDS[of] for of in on if rng.random() < 0.6]
        return part(name, kind, at, needs=needs, retention_n=band(low, low + 3), price=band(price, price))

    clips = [made(f"clip-{n}", "clip", "segment", ["undercut_mm", "gap_mm"]) for n in range(5)]
    balls = [made(f"ball-{n}", "ball", "end", ["ball_mm"]) for n in range(3)]
    return World(stock(*clips, *balls), rng.randint(3, 12))


def cost(seed: int, values: Mapping[Question, float | str]) -> float:
    """Of the plan with these values in the case; infinity where none keeps every rule."""
    catalogue, hold_n = world(seed)
    found = plan(_case(hold_n, values), catalogue)
    assert found.status is not Status.UNDECIDED
    assert found.status is not Status.FITS_IF, "nothing is left to ask"
    return found.best.cost.high if found.status is Status.FITS and found.best else inf


def _case(hold_n: float, values: Mapping[Question, float | str]) -> Any:
    changes: dict[str, Any] = {"segments": {"B": {}}, "ends": {"E": {}}}
    for question, value in values.items():
        (group, site, of), *_ = question.places
        changes[group][site][of] = value
    return small_case(wanted={"level_n": hold_n}, **changes)


@cache
def costs(seed: int) -> Mapping[Known, float]:
    """The cost for every set of good answers, all others bad."""
    sized = (combinations(GOOD, size) for size in range(len(GOOD) + 1))
    sets = [frozenset(each) for each in chain.from_iterable(sized)]
    return {good: cost(seed, {q: (GOOD if q in good else BAD)[q] for q in GOOD}) for good in sets}


@cache
def asked(seed: int) -> Ask:
    catalogue, hold_n = world(seed)
    found = ask(_case(hold_n, dict.fromkeys(GOOD, "unknown")), catalogue)
    assert Outcome.OPTIMAL is found.outcome
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_the_curve_is_what_so_many_good_answers_can_bring(seed: int) -> None:
    under = costs(seed)
    expected: list[tuple[int, float]] = []
    for answers in range(len(GOOD) + 1):
        least = min(price for good, price in under.items() if len(good) <= answers)
        if least < (expected[-1][1] if expected else inf):
            expected.append((answers, least))

    assert expected == [(len(p.questions), p.cost.high) for p in asked(seed).curve]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_bad_answer_leaves_what_good_answers_to_all_others_can_bring(seed: int) -> None:
    """Values of our own: needs have one limit each, so any good and any bad value will do."""
    under, every = costs(seed), frozenset(GOOD)

    for entry in asked(seed).asked:
        assert entry.badly is not None
        others = under[every - {entry.question}]
        assert others == (entry.badly.plan.cost.high if entry.badly.plan else inf)
        assert under[every] == (entry.well.plan.cost.high if entry.well.plan else inf)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_good_answer_alone_brings_for_certain_what_the_case_with_it_and_no_other_brings(seed: int) -> None:
    under = costs(seed)

    for entry in asked(seed).asked:
        alone = under[frozenset({entry.question})]
        assert alone == (entry.well.certain.cost.high if entry.well.certain else inf)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_changes_nothing_by_itself_changes_no_case_where_all_else_is_well(seed: int) -> None:
    under, every = costs(seed), frozenset(GOOD)

    for question in (*asked(seed).later, *asked(seed).idle):
        assert under[every] == under[every - {question}]


def test_the_worlds_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    found = [asked(seed) for seed in SEEDS]

    assert sum(len(each.curve) > 2 for each in found) >= 2
    assert sum(any(isinf(entry.stake("now")) for entry in each.asked) for each in found) >= 3
    assert sum(any(0 < entry.stake("now") < inf for entry in each.asked) for each in found) >= 5
    assert sum(bool(each.later) for each in found) >= 3
    assert sum(bool(each.idle) for each in found) >= 3
