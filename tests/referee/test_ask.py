"""What to ask, against exhaustive search: every number of answers, every answer put into the case."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from math import isinf

import pytest

from solver.audit.second_opinion.decide import best_of, decide
from solver.audit.second_opinion.mixes import Mixes
from solver.audit.second_opinion.world import World
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.explore.outcomes import WORDS
from solver.explore.questions import Ask, ask
from solver.explore.windows import limits_of
from solver.fit.candidate import Question
from tests.referee.answering import with_answer
from tests.referee.random_case import random_world

SEEDS = (*range(110), 120, 123, 139)
"""After the last three a bad answer leads to a plan that hangs on something else."""


@cache
def asked(seed: int) -> Ask:
    return ask(*random_world(seed))


def decided(world: World) -> tuple[tuple[int, int] | None, int | None]:
    """Cost and open questions of the best mix, and the cost of the best that hangs on nothing."""
    mixes = Mixes(world)
    best, certain = best_of(mixes).best, best_of(mixes, lambda mix: not mixes.asks(mix)).best
    return best and best[:2], certain and certain[0]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_curve_is_the_exhaustive_one(seed: int) -> None:
    mixes, found = Mixes(random_world(seed)), asked(seed)
    best = best_of(mixes).best
    least = best[0] if best else None

    expected: list[tuple[int, int]] = []
    answers = 0
    while least is not None and (not expected or expected[-1][1] > least):
        most = answers
        best = best_of(mixes, lambda mix, most=most: len(mixes.asks(mix)) <= most).best  # type: ignore[misc]
        if best and (not expected or best[0] < expected[-1][1]):
            expected.append((answers, best[0]))
        answers += 1
    assert Outcome.OPTIMAL is found.outcome
    assert expected == [(len(plan.questions), plan.cost.high) for plan in found.curve]


@pytest.mark.parametrize("seed", SEEDS)
def test_each_answer_leads_where_every_mix_tried_leads(seed: int) -> None:
    for entry in asked(seed).asked:
        for reply in (entry.well, entry.badly):
            if reply is not None:
                plan, sure = reply.plan, reply.certain
                told = plan and (plan.cost.high, len(plan.questions)), sure and sure.cost.high
                assert decided(with_answer(random_world(seed), entry.question, reply.value)) == told


@pytest.mark.parametrize("seed", SEEDS)
def test_every_open_question_is_told_once_and_what_the_plan_hangs_on_is_asked(seed: int) -> None:
    found = asked(seed)
    asking = [entry.question for entry in found.asked]
    told = [*asking, *found.later, *found.idle]

    assert len(told) == len(set(told))
    assert set(asking) == {q for plan in found.curve[-1:] for q in plan.questions if not q.of_a_step}
    assert {q for plan in found.curve for q in plan.questions if not q.of_a_step} <= {*asking, *found.later}


@pytest.mark.parametrize("seed", SEEDS)
def test_no_answer_by_itself_to_what_is_not_asked_changes_what_is_paid(seed: int) -> None:
    world, found = random_world(seed), asked(seed)
    best = found.curve[-1].cost.high if found.curve else None

    for question in (*found.later, *found.idle):
        for value in values(world.case, world, question):
            then = decide(with_answer(world, question, value)).best
            assert best == (then and then[0])


def values(case: Case, world: World, question: Question) -> Iterator[str | float]:
    """Every word, or some numbers that the answer may be."""
    if question.of in WORDS:
        yield from WORDS[question.of]
        return
    dice, limits = random.Random(str(question)), limits_of(case, world.catalogue.defaults, question)
    yield from (limits.low, limits.high, dice.uniform(limits.low, limits.high))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_most_at_stake_comes_first(seed: int) -> None:
    found = asked(seed)
    risks = [(entry.stake(found.least), 1 - entry.chance) for entry in found.asked]
    at_stake = [stake * risk if risk else 0.0 for stake, risk in risks]

    assert sorted(at_stake, reverse=True) == at_stake
    assert all(stake >= 0 for stake in at_stake)


def test_the_random_cases_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    found = [asked(seed) for seed in SEEDS]
    entries = [entry for each in found for entry in each.asked]

    assert sum(len(each.curve) > 1 for each in found) >= 5
    assert sum(bool(each.curve) and each.certain is None for each in found) >= 3
    assert sum(len(each.asked) > 1 for each in found) >= 5
    assert sum(bool(each.later) for each in found) >= 3
    assert sum(bool(each.idle) for each in found) >= 5
    assert sum(not each.curve for each in found) >= 5
    assert sum(len(entry.question.places) > 1 for entry in entries) >= 3
    assert sum(isinf(entry.stake("now")) for entry in entries) >= 3
    assert sum(0 < entry.stake("now") < 1e9 for entry in entries) >= 3
