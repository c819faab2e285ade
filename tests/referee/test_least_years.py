"""What has to give and why not, where the cost over the years is made least: against every mix of the second opinion.

That the cost of a mix over the years is right is checked apart (`verify_years`, and the fronts in `test_front`).
"""

from __future__ import annotations

from functools import cache
from math import inf

from solver.assess.problem import problem_of
from solver.audit.second_opinion.mixes import Mix, Mixes
from solver.audit.second_opinion.world import World
from solver.choose.search import Options
from solver.explain.comparison import Comparison, Fate
from solver.explain.rule_switches import hard_rules
from solver.explain.waivers import Footing, Give
from tests.referee.random_case import random_world, with_service
from tests.referee.test_give import Codes, codes_of, minimal
from tests.referee.worlds import ALL, hold_on

SEEDS = range(40 if ALL else 10)
YEARS = Options(least="years")


def world_of(seed: int) -> World:
    return with_service(random_world(seed), seed)


@cache
def mixes(seed: int) -> tuple[tuple[Mix, Codes, int], ...]:
    """Every mix that physics allows, with what it breaks and its cost over the years."""
    every, hard = Mixes(world_of(seed)), codes_of(hard_rules(problem_of(*world_of(seed))))
    judged = ((mix, every.broken(mix)) for mix in every)
    return tuple((mix, broken, every.years_cost(mix)) for mix, broken in judged if not broken & hard)


def test_every_set_to_give_up_opens_the_plan_of_least_cost_over_the_years() -> None:
    def law(seed: int) -> None:
        found = Give(*world_of(seed), YEARS, most=99)
        assert list(found.steps())
        below = found.best.cost_years.high if found.best else inf
        every = minimal(broken for _, broken, years in mixes(seed) if years < below)
        if found.footing is Footing.FITS:
            every = {each for each in every if len(each) == min(map(len, every))}
        assert every == {codes_of(way.rules) for way in found.ways}

    hold_on(SEEDS, law)


def test_an_attachment_costs_so_much_more_over_the_years() -> None:
    """Than the plan; both as the cheapest mix that gives up no more than each of them has to."""

    def law(seed: int) -> None:
        comparison = Comparison(*world_of(seed), YEARS)
        best = comparison.answer.best
        for site in comparison.sites():
            for entry in site.entries:
                name = entry.candidate.attachment.id if entry.candidate else ""
                found = best if entry.fate is Fate.IN_PLAN else entry.instead if entry.fate is Fate.DEARER else None
                given_up = codes_of(each.rule for each in found.given_up) if found else frozenset[str]()
                years = [
                    years
                    for mix, broken, years in mixes(seed)
                    if broken <= given_up
                    and any((p.site.id, p.attachment.id) == (site.fit.site.id, name) for p in mix)
                ]
                if found is None or not found.given_up:  # else how much is given up comes first
                    least = best.cost_years.high + entry.more if found and best else None
                    assert min(years, default=None) == least

    hold_on(SEEDS, law)


def test_the_two_costs_do_not_always_agree() -> None:
    """Else these tests would show nothing. What the denture takes is the same for all mixes, so few seeds differ."""
    seeds = range(60)
    now, years = ([Comparison(*world_of(seed), how).answer.best for seed in seeds] for how in (Options(), YEARS))
    kept = [(one, two) for one, two in zip(now, years, strict=True) if one and two]

    assert sum(one.keys != two.keys for one, two in kept) >= 4
