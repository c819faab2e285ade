"""The law of `ask`: every "if well" and "if badly" is what planning the case anew with that value gives.

On cases with figures of the whole case, of one bar and of single sites left open. A default run takes 24;
`REGRIP_REFEREE=all` takes 200 (`make referee`).
"""

from __future__ import annotations

import os
import random
from collections import Counter
from collections.abc import Iterator
from functools import cache

import pytest

from solver.case.measure import Measure
from solver.choose.master import Outcome
from solver.explore.extent import Extent
from solver.explore.outcomes import WORDS
from solver.explore.questions import Ask, Asked, ask
from solver.explore.reply import Reply
from solver.explore.windows import limits_of
from tests.referee.answering import certain, hoped, with_answer
from tests.referee.open_case import open_world

SEEDS = tuple(range(200)) if os.environ.get("REGRIP_REFEREE") == "all" else (*range(20), 36, 45, 46, 61)
"""The last of the few ask about ends and supports."""
BATCHES = [SEEDS[first::4] for first in range(4)]
"""Few tests of many cases: what a case has asked is worked out once in each."""


@cache
def asked(seed: int) -> Ask:
    found = ask(*open_world(seed))
    assert Outcome.OPTIMAL is found.outcome
    return found


def replies(seed: int) -> Iterator[tuple[Asked, Reply]]:
    for entry in asked(seed).asked:
        yield entry, entry.well
        if entry.badly is not None:
            yield entry, entry.badly


@pytest.mark.parametrize("seeds", BATCHES, ids=lambda seeds: f"from {seeds[0]}")
def test_every_answer_leads_where_planning_anew_leads(seeds: tuple[int, ...]) -> None:
    for seed in seeds:
        for entry, reply in replies(seed):
            world = with_answer(open_world(seed), entry.question, reply.value)
            plan, sure = reply.plan, reply.certain
            told = plan and (plan.cost.high, len(plan.questions)), sure and sure.cost.high
            assert (hoped(*world), certain(*world)) == told, (seed, str(entry.question), reply.value)


@pytest.mark.parametrize("seeds", BATCHES, ids=lambda seeds: f"from {seeds[0]}")
def test_the_same_holds_for_all_answers_that_are_meant(seeds: tuple[int, ...]) -> None:
    """At both ends and somewhere between."""
    for seed in seeds:
        for entry, reply in replies(seed):
            if reply.extent is None or not isinstance(reply.value, Measure):
                continue
            low, high = ends(seed, entry, reply.extent)
            assert low <= (reply.value.value or 0) <= high
            told = reply.plan and reply.plan.cost.high, reply.certain and reply.certain.cost.high
            for value in (low, high, random.Random(seed).uniform(low, high)):
                world = with_answer(open_world(seed), entry.question, value)
                best = hoped(*world)
                assert (best and best[0], certain(*world)) == told, (seed, str(entry.question), value)


def ends(seed: int, entry: Asked, extent: Extent) -> tuple[float, float]:
    """The least and the greatest answer that is meant."""
    world = open_world(seed)
    limits = limits_of(world.case, world.catalogue.defaults, entry.question)
    return (extent.last(limits.low, limits.high, 1e-4, above=above) for above in (False, True))  # type: ignore[return-value]


@pytest.mark.parametrize("seeds", BATCHES, ids=lambda seeds: f"from {seeds[0]}")
def test_good_answers_to_all_leave_a_plan_that_costs_no_more(seeds: tuple[int, ...]) -> None:
    """What the cheapest plan hangs on and can be asked, answered well together."""
    for seed in seeds:
        world, found = open_world(seed), asked(seed)
        if not found.curve or any(question.of_a_step for question in found.curve[-1].questions):
            continue
        if any(entry.chance == 0 for entry in found.asked):  # no answer will do
            continue
        for entry in found.asked:
            world = with_answer(world, entry.question, entry.well.value)
        best = hoped(*world)
        assert best is not None
        assert best[0] <= found.curve[-1].cost.high, seed


@pytest.mark.parametrize("seeds", BATCHES, ids=lambda seeds: f"from {seeds[0]}")
def test_no_answer_by_itself_to_what_is_not_asked_changes_what_is_paid(seeds: tuple[int, ...]) -> None:
    for seed in seeds:
        world, found = open_world(seed), asked(seed)
        best = found.curve[-1].cost.high if found.curve else None
        for question in (*found.later, *found.idle):
            limits = None if question.of in WORDS else limits_of(world.case, world.catalogue.defaults, question)
            words = WORDS.get(question.of, ())
            for value in words if limits is None else (limits.low, limits.high):
                then = hoped(*with_answer(world, question, value))
                assert best == (then and then[0]), (seed, str(question), value)


def kind_of(entry: Asked) -> str:
    """Where a question stands; `bar` for one of several stretches."""
    group = entry.question.places[0][0]
    return "bar" if group != "supports" and len(entry.question.places) > 1 else group


def test_the_cases_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    entries = [entry for seed in SEEDS for entry in asked(seed).asked]
    kinds = Counter(kind_of(entry) for entry in entries)
    endings = Counter((reply.plan is None, reply.certain is None) for s in SEEDS for _, reply in replies(s))

    assert kinds.keys() >= {"bar", "segments", "ends", "supports", "room", "patient"}
    assert endings.keys() == {(False, False), (False, True), (True, True)}
    assert len({entry.question.of for entry in entries}) >= 8
    assert any(entry.chance not in (0.0, 0.5, 1.0) for entry in entries)
