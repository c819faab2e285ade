"""What has to give, what to ask and why not, where the cost over the years is made least: against every mix.

That the cost of a mix over the years is right is checked apart (`verify_years`, and the fronts in `test_front`).
"""

from __future__ import annotations

from functools import cache
from math import inf

import pytest

from solver.ask import ask
from solver.candidate import Question
from solver.choose import Options
from solver.give import Footing, Give
from solver.master import Outcome
from solver.problem import problem_of
from solver.rules import Rule
from solver.second_opinion.world import World
from solver.switches import hard_rules, soft_rules
from solver.why_not import Comparison, Fate
from tests.referee.every_mix import Broken, every_mix, minimal, subsets
from tests.referee.random_case import random_world, with_service

SEEDS = range(40)
YEARS = Options(least="years")


def world_of(seed: int) -> World:
    return with_service(random_world(seed), seed)


@cache
def mixes(seed: int) -> tuple[Broken, ...]:
    """Every mix that physics allows."""
    problem = problem_of(*world_of(seed))
    hard = hard_rules(problem)
    return tuple(m for m in every_mix(problem, (*soft_rules(problem), *hard)) if m.rules.isdisjoint(hard))


def waiver_sets(seed: int, below: float) -> set[frozenset[Rule]]:
    soft, left = soft_rules(problem_of(*world_of(seed))), [m for m in mixes(seed) if m.years < below]
    return minimal(given for given in subsets(soft) if any(m.rules <= given for m in left))


@pytest.mark.parametrize("seed", SEEDS)
def test_every_set_to_give_up_opens_the_plan_of_least_cost_over_the_years(seed: int) -> None:
    found = Give(*world_of(seed), YEARS, most=99)
    assert list(found.steps())

    every = waiver_sets(seed, found.best.aftercare.cost.high if found.best else inf)
    if found.footing is Footing.FITS:
        every = {each for each in every if len(each) == min(map(len, every))}
    assert every == {frozenset(way.rules) for way in found.ways}
    assert [min(m.years for m in mixes(seed) if m.rules <= frozenset(way.rules)) for way in found.ways] == [
        way.best.cost_years.high for way in found.ways
    ]
    order = [(way.severity, way.best.cost_years.high) for way in found.ways]
    assert sorted(order) == order


def open_questions(mix: Broken) -> frozenset[Question]:
    return frozenset(question for option in mix.options for question in option.candidate.questions)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_curve_of_cost_over_the_years_against_answers_is_the_exhaustive_one(seed: int) -> None:
    found = ask(*world_of(seed), YEARS)

    expected: list[tuple[int, int]] = []
    priced = sorted((len(open_questions(m)), m.years) for m in mixes(seed) if not m.rules)
    for answers, years in priced:
        if not expected or years < expected[-1][1]:
            expected.append((answers, years))
    assert Outcome.OPTIMAL is found.outcome
    assert expected == [(len(plan.questions), plan.aftercare.cost.high) for plan in found.curve]


@pytest.mark.parametrize("seed", SEEDS)
def test_an_attachment_costs_so_much_more_over_the_years(seed: int) -> None:
    """Than the plan; both as the cheapest mix that gives up no more than each of them has to."""
    comparison = Comparison(*world_of(seed), YEARS)
    best = comparison.answer.best

    for site in comparison.sites():
        for entry in site.entries:
            name = entry.candidate.attachment.id if entry.candidate else ""
            found = best if entry.fate is Fate.IN_PLAN else entry.instead if entry.fate is Fate.DEARER else None
            given_up = {each.rule for each in found.given_up} if found else set[Rule]()
            years = [
                m.years
                for m in mixes(seed)
                if m.rules <= given_up
                and any((o.site, o.candidate.attachment.id) == (site.fit.site.id, name) for o in m.options)
            ]
            least = best.aftercare.cost.high + entry.more if found and best else None
            assert min(years, default=None) == least


def test_the_two_costs_do_not_always_agree() -> None:
    """Else these tests would show nothing."""
    now, years = ([Comparison(*world_of(seed), how).answer.best for seed in SEEDS] for how in (Options(), YEARS))
    kept = [(one, two) for one, two in zip(now, years, strict=True) if one and two]

    assert sum([c.key for c in one.mix] != [c.key for c in two.mix] for one, two in kept) >= 4
