"""What a forced attachment costs more, and what it clashes with, as a second, exhaustive decision finds them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import cache

from solver.audit.second_opinion.decide import Found, best_of, relaxed
from solver.audit.second_opinion.mixes import Mix, Mixes
from solver.case.rules import NeedHolds, NotAllowed, Rule
from solver.explain.comparison import Comparison, Fate, SiteWhy, WhyNot
from tests.referee.worlds import ALL, hold_on, mixes_of, world

STRATA = {"plain": 30, "wide": 20, "tiers": 20, "symmetric": 10, "off": 10}
PLACES = tuple((name, seed) for name, number in STRATA.items() for seed in range(number if ALL else 4))

Place = tuple[str, int]


@cache
def compared(place: Place) -> Comparison:
    return Comparison(*world(*place))


@cache
def sites(place: Place) -> tuple[SiteWhy, ...]:
    return compared(place).sites()


def has(mix: Mix, site: str, attachment: str | None) -> bool:
    return any(p.site.id == site and attachment in (None, p.attachment.id) for p in mix)


def least(place: Place, wanted: Callable[[Mix], bool]) -> Found | None:
    """The best mix of those wanted; where the plan gives something up, the one that gives up the least."""
    mixes: Mixes = mixes_of(*place)
    if compared(place).answer.best and compared(place).answer.best.given_up:  # type: ignore[union-attr]
        return relaxed(mixes.promising("usual", "stopgap"), wanted=wanted).found
    return best_of(mixes, wanted).found


def assert_least(place: Place, entry: WhyNot, wanted: Callable[[Mix], bool]) -> None:
    """The plan with an entry is the best wanted mix; without one, none is."""
    best, instead = compared(place).answer.best, entry.instead
    found = best if entry.fate is Fate.IN_PLAN else instead if entry.fate is Fate.DEARER else None
    expected = least(place, wanted) if entry.fate is not Fate.RULED_OUT else best_of(mixes_of(*place), wanted).found

    assert (expected.rank[0] if expected else None) == (found.cost.high if found else None)
    assert (expected.weight if expected else 0) == (found.weight_below if found and found.given_up else 0)
    assert (found.cost.high - best.cost.high if found and best else 0) == (entry.more if found else 0)


def test_costs_with_each_attachment_are_the_exhaustive_ones() -> None:
    def law(place: Place) -> None:
        for site in sites(place):
            for entry in site.entries:
                name = entry.candidate.attachment.id if entry.candidate else ""
                assert_least(place, entry, lambda mix, at=site.fit.site.id, name=name: has(mix, at, name))  # type: ignore[misc]

    hold_on(PLACES, law)


def test_a_filled_site_is_emptied_and_an_empty_one_filled_at_the_exhaustive_cost() -> None:
    def law(place: Place) -> None:
        for site in sites(place):
            filled = site.planned is not None

            def wanted(mix: Mix, at: str = site.fit.site.id, filled: bool = filled) -> bool:
                return all(p.site.id != at for p in mix) if filled else has(mix, at, None)

            if site.otherwise:
                assert_least(place, site.otherwise, wanted)
            else:
                assert best_of(mixes_of(*place), wanted).best is None

    hold_on(PLACES, law)


def test_a_clash_forbids_the_attachment_and_no_part_of_it_does() -> None:
    def law(place: Place) -> None:
        every = [r for r in compared(place).problem.rules if not isinstance(r, NotAllowed | NeedHolds)]
        for site, entry in clashing(sites(place)):
            name = entry.candidate.attachment.id if entry.candidate else ""
            assert entry.clash is not None
            assert entry.clash.proved_minimal
            members = entry.clash.members

            def possible(kept: tuple[Rule, ...], at: str = site.fit.site.id, name: str = name) -> bool:
                idle = frozenset(rule.code for rule in every if rule not in kept)
                return best_of(mixes_of(*place), lambda mix: has(mix, at, name), given_up=idle).best is not None

            assert not possible(members)
            assert all(possible(tuple(rule for rule in members if rule != out)) for out in members)

    hold_on(PLACES, law)


def clashing(found: tuple[SiteWhy, ...]) -> list[tuple[SiteWhy, WhyNot]]:
    return [(site, entry) for site in found for entry in site.entries if entry.fate is Fate.CLASHES]


def test_the_random_cases_show_every_fate() -> None:
    """Fates that never come up would be tested by nothing."""
    entries = [entry for place in PLACES for site in sites(place) for entry in site.entries]
    fates = Counter(entry.fate for entry in entries)

    shown = (Fate.IN_PLAN, Fate.DEARER, Fate.CLASHES, Fate.RULED_OUT)
    assert min(fates[fate] for fate in shown) >= (10 if ALL else 2)
    assert any(obstacle.among for entry in entries for obstacle in entry.obstacles)
