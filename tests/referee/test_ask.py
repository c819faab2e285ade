"""What to ask, against exhaustive search: every number of answers, every question, every outcome of all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import chain, combinations
from math import inf, prod

import pytest

from solver.ask import Ask, ask
from solver.candidate import Question
from solver.master import Outcome
from solver.problem import problem_of
from solver.second_opinion.decide import decide
from solver.second_opinion.mixes import Mix
from solver.switches import hard_rules, soft_rules
from tests.referee.every_mix import every_mix
from tests.referee.random_case import random_world

SEEDS = range(110)


@cache
def asked(seed: int) -> Ask:
    return ask(*random_world(seed))


def asks(mix: Mix) -> frozenset[tuple[str, str]]:
    return frozenset(chain.from_iterable(piece.asks for piece in mix))


def cost(best: tuple[int, int, int] | None) -> int | None:
    return best[0] if best else None


@pytest.mark.parametrize("seed", SEEDS)
def test_the_curve_is_the_exhaustive_one(seed: int) -> None:
    world, found = random_world(seed), asked(seed)
    least = cost(decide(world).best)

    expected: list[tuple[int, int]] = []
    answers = 0
    while least is not None and (not expected or expected[-1][1] > least):
        most = answers
        best = decide(world, lambda mix, most=most: len(asks(mix)) <= most).best  # type: ignore[misc]
        if best and (not expected or best[0] < expected[-1][1]):
            expected.append((answers, best[0]))
        answers += 1
    assert Outcome.OPTIMAL is found.outcome
    assert expected == [(len(plan.questions), plan.cost.high) for plan in found.curve]


@pytest.mark.parametrize("seed", SEEDS)
def test_each_answer_leads_where_a_new_search_leads(seed: int) -> None:
    world, found = random_world(seed), asked(seed)

    for entry in found.asked:
        asking = tuple(entry.question)
        well = decide(world, lambda mix, asking=asking: asks(mix) <= {asking}).best  # type: ignore[misc]
        badly = decide(world, lambda mix, asking=asking: asking not in asks(mix)).best  # type: ignore[misc]
        assert cost(well) == (entry.well.cost.high if entry.well else None)
        assert cost(badly) == (entry.badly.cost.high if entry.badly else None)


def subsets(questions: tuple[Question, ...]) -> Iterator[frozenset[Question]]:
    sized = (combinations(questions, size) for size in range(len(questions) + 1))
    return (frozenset(each) for each in chain.from_iterable(sized))


@cache
def costs(seed: int) -> Mapping[frozenset[Question], float]:
    """The least cost under every set of open questions that may be relied on; infinity where nothing fits."""
    problem = problem_of(*random_world(seed))
    mixes = [mix for mix in every_mix(problem, (*soft_rules(problem), *hard_rules(problem))) if not mix.rules]
    priced = [({q for o in mix.options for q in o.candidate.questions}, mix.cost) for mix in mixes]
    found = asked(seed)
    every = (*(entry.question for entry in found.asked), *found.idle)
    return {known: min((c for on, c in priced if on <= known), default=inf) for known in subsets(every)}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_question_not_worth_asking_changes_nothing_whatever_the_others(seed: int) -> None:
    under = costs(seed)

    for question in asked(seed).idle:
        assert all(under[known] == under[known - {question}] for known in under)


@pytest.mark.parametrize("seed", SEEDS)
def test_worth_is_the_mean_over_all_outcomes(seed: int) -> None:
    """By definition, world by world; the search sums over the answers that matter only."""
    found, under = asked(seed), costs(seed)
    chance = {entry.question: entry.chance for entry in found.asked}

    for entry in found.asked:
        saving = rescue = 0.0
        for good in subsets(tuple(chance)):
            odds = prod(p if question in good else 1 - p for question, p in chance.items())
            with_it, without = under[good], under[good - {entry.question}]
            saving += odds * (without - with_it) if without < inf else 0.0
            rescue += odds if with_it < inf <= without else 0.0
        assert pytest.approx(saving) == entry.saving
        assert pytest.approx(rescue) == entry.rescue


@pytest.mark.parametrize("seed", SEEDS)
def test_the_most_worth_comes_first(seed: int) -> None:
    order = [(-entry.rescue, -entry.saving) for entry in asked(seed).asked]

    assert order == sorted(order, key=lambda pair: (round(pair[0], 9), round(pair[1], 6)))
    assert all(rescue < 0 or saving < 0 for rescue, saving in order)


def test_the_random_cases_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    found = [asked(seed) for seed in SEEDS]

    assert sum(len(each.curve) > 1 for each in found) >= 5
    assert sum(bool(each.curve) and each.certain is None for each in found) >= 3
    assert sum(len(each.asked) > 1 for each in found) >= 5
    assert sum(bool(each.idle) for each in found) >= 5
    assert sum(not each.curve for each in found) >= 5
