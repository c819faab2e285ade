"""Laws that hold of any case whatever its answer is: what must not change it, and what can only make it better."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import NamedTuple

import pytest

from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.audit.second_opinion.world import World
from solver.case.retention import Condition
from solver.case.schema import DEMANDS, PULLS
from solver.choose.check import check
from solver.choose.cutter import grip_of
from solver.choose.plan import Answer, plan
from solver.choose.terms import terms_weight
from solver.choose.tiers import tiers
from solver.explain.comparison import Comparison, Fate
from solver.explain.needs import why
from solver.fit.proposal import read_put, written
from tests.referee.changed import (
    SIDES,
    dearer,
    exchanged,
    in_whole_cents,
    loosened,
    mirrored,
    new_names,
    renamed,
    reordered,
    with_one_more,
    with_wider_cap,
)
from tests.referee.worlds import ALL, hold_on, world

STRATA = ("wide", "tiers", "symmetric", "firm", "worn", "off", "whole bar")
PLACES = tuple((stratum, 100 - seed) for seed in range(1, 31 if ALL else 3) for stratum in STRATA if seed <= 50)
"""Worlds by stratum and seed, other ones than the referee begins with."""

Place = tuple[str, int]


class Tier(NamedTuple):
    """A plan of a tier: cost, terms, least pull."""

    cost: int
    without: frozenset[str]
    grip: int


class Outcome(NamedTuple):
    """All of an answer but the names of its parts and sites."""

    status: Status
    tier: str | None
    weight: int
    worth: Fraction
    rank: tuple[int, int, int]
    without: frozenset[str]
    grip: int
    stopgap: Tier | None
    firm: Tier | None
    steps: tuple[tuple[int, int], ...]


@cache
def answered(place: Place) -> Answer:
    return plan(*world(*place))


@cache
def outcome_at(place: Place) -> Outcome | None:
    return outcome(answered(place))


def outcome(found: Answer) -> Outcome | None:
    """None where physics is against every mix."""
    best = found.best
    if best is None:
        assert Status.NONE is found.status
        return None
    told = tiers(found)
    assert told.complete
    return Outcome(
        found.status,
        found.tier,
        best.weight_below if best.weight else 0,
        terms_weight(best, "now"),
        (best.cost.high, len(best.questions), sum(c.parts for c in best.mix)),
        _without(best),
        grip_of(best),
        _tier(told.stopgap),
        _tier(told.firm),
        tuple((step.more, grip_of(step.plan)) for step in told.steps),
    )


def _tier(plan: Assessment | None) -> Tier | None:
    return Tier(plan.cost.high, _without(plan), grip_of(plan)) if plan else None


def _without(plan: Assessment) -> frozenset[str]:
    return frozenset(preference.code for preference in plan.unpreferred)


def twin(problem: Problem, mix: Assessment, names: Mapping[str, str] | None = None) -> Assessment:
    """The same mix in another problem, its sites by the names that they have there."""
    fitted = {(names or {}).get(c.site.id, c.site.id): c.label for c in mix.mix}
    options = [option for option in problem.options if fitted.get(option.site) == option.candidate.label]
    assert len(options) == len(fitted)
    return assess(problem, Mechanics(problem), options)


def same_mechanics(one: Assessment, other: Assessment, across: Mapping[str, str] | None = None) -> None:
    """Pulls, peel and verdicts of two mixes; `across` tells which side is which."""
    sides = across or {}
    for condition in Condition:
        pulls = [other.hold_n(sides.get(name, name), condition) for name in PULLS]  # type: ignore[arg-type]
        assert [one.hold_n(name, condition) for name in PULLS] == pytest.approx(pulls, abs=1e-6)
    assert one.peel_n == pytest.approx(other.peel_n, abs=1e-6)
    verdicts = {verdict.demand: verdict.verdict for verdict in other.verdicts}
    assert {v.demand: v.verdict for v in one.verdicts} == {d: verdicts[sides.get(d, d)] for d in DEMANDS}  # type: ignore[index]


def unchanged(place: Place, other: World, names: Mapping[str, str] | None = None, *, across: bool = False) -> None:
    """The same answer, and the planned mix is worth the same there."""
    assert outcome_at(place) == outcome(plan(*other))
    best = answered(place).best
    if best:
        there = twin(problem_of(*other), best, names)
        assert (best.cost, best.weight, _without(best)) == (there.cost, there.weight, _without(there))
        assert len(best.questions) == len(there.questions)
        same_mechanics(best, there, SIDES if across else None)


def test_a_mirrored_case_has_the_same_answer() -> None:
    hold_on(PLACES, lambda place: unchanged(place, mirrored(world(*place)), across=True))


def test_other_names_change_nothing() -> None:
    def law(place: Place) -> None:
        names = new_names(world(*place))
        unchanged(place, renamed(world(*place), names), names)

    hold_on(PLACES, law)


def test_the_order_of_a_file_changes_nothing() -> None:
    hold_on(PLACES, lambda place: unchanged(place, reordered(world(*place))))


def test_prices_three_times_as_high_make_every_plan_three_times_as_dear() -> None:
    hold_on(PLACES, lambda place: _times(place, 3, lambda plain: dearer(plain, 3)))


def test_another_currency_makes_the_same_plans_at_its_rate() -> None:
    hold_on(PLACES, lambda place: _times(place, 11, lambda plain: exchanged(plain, 11)))


def _times(place: Place, times: int, change: object) -> None:
    plain = in_whole_cents(world(*place))
    here, there = outcome(plan(*plain)), outcome(plan(*change(plain)))  # type: ignore[operator]
    if here is None:
        assert there is None
        return
    assert there == here._replace(
        worth=here.worth * times,
        rank=(here.rank[0] * times, *here.rank[1:]),
        stopgap=here.stopgap and here.stopgap._replace(cost=here.stopgap.cost * times),
        firm=here.firm and here.firm._replace(cost=here.firm.cost * times),
        steps=tuple((more * times, grip) for more, grip in here.steps),
    )


def no_worse(place: Place, other: World) -> None:
    """Nothing that was possible is lost: no more is given up, and for no less is no more paid on the same terms."""
    here, there = outcome_at(place), outcome(plan(*other))
    if here is None:
        return
    assert there is not None
    assert (there.weight, there.worth) <= (here.weight, here.worth)
    if here.status is not Status.RELAXED:
        assert there.status is not Status.RELAXED
    if here.tier == there.tier and here.stopgap and there.stopgap:
        assert there.stopgap.cost <= here.stopgap.cost or there.stopgap.without < here.stopgap.without
    if here.tier == there.tier == "usual" and there.without >= here.without:
        assert _firmest(there) >= _firmest(here)


def _firmest(found: Outcome) -> int:
    """The best least pull there is among the plans that keep what is preferred of the usual one."""
    return found.firm.grip if found.firm else found.grip


def test_a_wider_cap_takes_nothing_away() -> None:
    hold_on(PLACES, lambda place: no_worse(place, with_wider_cap(world(*place))))


def test_looser_limits_take_nothing_away() -> None:
    hold_on(PLACES, lambda place: no_worse(place, loosened(world(*place), place[1])))


def test_one_more_in_the_catalogue_takes_nothing_away() -> None:
    hold_on(PLACES, lambda place: no_worse(place, with_one_more(world(*place), place[1])))


def test_a_plan_checked_as_its_own_proposal_is_judged_alike() -> None:
    """The proposal is written as a person would, and read again."""

    def law(place: Place) -> None:
        best = answered(place).best
        if best is None:
            return
        found = check(*world(*place), {c.site.id: read_put(written(c)) for c in best.mix})
        assert not found.refusals
        assert best.status is found.status
        assert best.keys == found.plan.keys
        again = found.plan
        assert (best.cost, best.given_up, best.unpreferred) == (again.cost, again.given_up, again.unpreferred)
        assert {rule.code for rule in found.broken} == {entry.rule.code for entry in best.given_up}
        same_mechanics(best, again)

    hold_on(PLACES, law)


def test_each_part_of_a_plan_is_told_to_be_in_it_and_has_nothing_against_it() -> None:
    """By `why`: no need fails, nothing that it needs is closed but what is given up, and it does not bind alone."""

    def law(place: Place) -> None:
        best = answered(place).best
        if best is None:
            return
        given_up = {entry.rule for entry in best.given_up}
        comparison = Comparison(*world(*place))
        for candidate in best.mix:
            put = read_put(written(candidate))
            assert Fate.IN_PLAN is comparison.put(candidate.site.id, put).fate
            found = why(*world(*place), candidate.site.id, put)
            assert candidate.key == found.candidate.key
            assert set(found.closed) <= given_up
            assert found.binds is None or found.binds[0] in given_up

    hold_on(PLACES, law)
