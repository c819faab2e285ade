"""What a forced attachment costs more, and what it clashes with, as a second, exhaustive decision finds them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from solver.problem import problem_of
from solver.rules import Budget, Covered, Held, LevelPull, Moves, Peel, Rule, Unsplint
from solver.second_opinion.decide import decide
from solver.second_opinion.mixes import Mix
from solver.second_opinion.world import World
from solver.why_not import Comparison, Fate, SiteWhy, WhyNot
from tests.referee.random_case import random_world

SEEDS = range(30)


def compared(seed: int) -> Comparison:
    world = random_world(seed)
    return Comparison(world.case, world.catalogue)


def has(mix: Mix, site: str, attachment: str | None) -> bool:
    return any(p.site.id == site and attachment in (None, p.attachment.id) for p in mix)


def only(world: World, kept: tuple[Rule, ...]) -> World:
    """The world with these of its limits and no others."""
    cap = any(isinstance(rule, Budget) for rule in kept)
    floor = any(isinstance(rule, LevelPull) for rule in kept)
    held = any(isinstance(rule, Held) for rule in kept)
    ceiling = any(isinstance(rule, Peel) for rule in kept)
    shares = {rule.demand: rule.share for rule in kept if isinstance(rule, Moves)}
    wanted = world.case.wanted.model_copy(
        update={
            "level_n": world.case.wanted.level_n if floor else 1e-3 if held else 0.0,
            "most_n": world.case.wanted.most_n if ceiling else None,
            "movement": {d: shares.get(d, 0.0) for d in ("whole", "front", "left", "right")},
        }
    )
    money = world.case.money.model_copy(update={"cap": world.case.money.cap if cap else None})
    return World(world.case.model_copy(update={"wanted": wanted, "money": money}), world.catalogue)


@pytest.mark.parametrize("seed", SEEDS)
def test_costs_with_each_attachment_are_the_exhaustive_ones(seed: int) -> None:
    world, comparison = random_world(seed), compared(seed)

    for site in comparison.sites():
        for entry in site.entries:
            name = entry.candidate.attachment.id if entry.candidate else ""

            def wanted(mix: Mix, at: str = site.fit.site.id, name: str = name) -> bool:
                return has(mix, at, name)

            assert_least(world, comparison, entry, wanted)


def assert_least(world: World, comparison: Comparison, entry: WhyNot, wanted: Callable[[Mix], bool]) -> None:
    """The plan with an entry costs what the cheapest wanted mix costs that gives up no more; without one, none is."""
    best, instead = comparison.answer.best, entry.instead
    found = best if entry.fate is Fate.IN_PLAN else instead if entry.fate is Fate.DEARER else None
    given_up = frozenset(each.rule.code for each in found.given_up) if found else frozenset[str]()
    expected = decide(world, wanted, given_up=given_up).best

    assert (expected[0] if expected else None) == (found.cost.high if found else None)
    assert (found.cost.high - best.cost.high if found and best else None) == (entry.more if found else None)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_filled_site_is_emptied_and_an_empty_one_filled_at_the_exhaustive_cost(seed: int) -> None:
    world, comparison = random_world(seed), compared(seed)

    for site in comparison.sites():
        filled = site.planned is not None

        def wanted(mix: Mix, at: str = site.fit.site.id, filled: bool = filled) -> bool:
            return has(mix, at, None) != filled

        if site.otherwise:
            assert_least(world, comparison, site.otherwise, wanted)
        else:
            assert decide(world, wanted).best is None


COVERED = [seed for seed in SEEDS if not any(isinstance(r, Covered) for r in problem_of(*random_world(seed)).rules)]
"""Cases in which nothing stands bare; the referee cannot leave an end uncovered."""


@pytest.mark.parametrize("seed", COVERED)
def test_a_clash_forbids_the_attachment_and_no_part_of_it_does(seed: int) -> None:
    world, comparison = random_world(seed), compared(seed)

    for site, entry in clashing(comparison.sites()):
        name = entry.candidate.attachment.id if entry.candidate else ""
        members = entry.clash.members if entry.clash else ()
        assert entry.clash is not None
        assert entry.clash.proved_minimal

        def wanted(mix: Mix, at: str = site.fit.site.id, name: str = name) -> bool:
            return has(mix, at, name)

        assert decide(only(world, members), wanted, given_up=unsplinted(members)).best is None
        for left_out in members:
            rest = tuple(rule for rule in members if rule != left_out)
            assert decide(only(world, rest), wanted, given_up=unsplinted(rest)).best is not None


def unsplinted(rules: tuple[Rule, ...]) -> frozenset[str]:
    """The bar may come off where no rule keeps it."""
    return frozenset() if any(isinstance(rule, Unsplint) for rule in rules) else frozenset({"unsplint"})


def clashing(sites: tuple[SiteWhy, ...]) -> list[tuple[SiteWhy, WhyNot]]:
    return [(site, entry) for site in sites for entry in site.entries if entry.fate is Fate.CLASHES]


def test_the_random_cases_show_every_fate() -> None:
    """Fates that never come up would be tested by nothing."""
    comparisons = [compared(seed) for seed in SEEDS]
    fates = Counter(entry.fate for c in comparisons for site in c.sites() for entry in site.entries)
    obstacles = sum(
        bool(o.among) for c in comparisons for site in c.sites() for entry in site.entries for o in entry.obstacles
    )

    assert min(fates[f] for f in (Fate.IN_PLAN, Fate.DEARER, Fate.CLASHES, Fate.RULED_OUT)) >= 10
    assert obstacles >= 3
