"""Stopgap, usual and firm: each is the least in cost of its kind, and every step towards firm is one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from catalogue.models import Catalogue
from solver.assess.assessment import Status
from solver.assess.oracle import Mechanics
from solver.case.rules import Budget, Pulls, Spread
from solver.choose.cutter import grip_of
from solver.choose.plan import Answer, answer, plan
from solver.choose.search import Options
from solver.choose.tiers import Tiers, at_stopgap, tiers
from tests.solver.oracle import every_mix, is_best, keeping_all
from tests.solver.small import band, large_world, part, promising, small_case, stock
from tests.solver.tiered_worlds import BLOCKS, Tried, worlds

HOW = Options(time_limit_s=60)


def answered(world: Tried) -> tuple[Answer, Tiers]:
    found = answer(world.problem, world.mechanics, HOW)
    return found, tiers(found, HOW)


@pytest.mark.parametrize("block", BLOCKS)
def test_each_tier_is_that_of_trying_every_mix(block: str) -> None:
    for seed, world in worlds(block):
        found, told = answered(world)
        below = at_stopgap(world.problem)
        lower = keeping_all(below, every_mix(below, world.mechanics))

        assert told.complete, seed
        assert told.usual is (found.best if world.keeping else None), seed
        if told.stopgap:
            assert is_best(told.stopgap, lower), seed
            assert told.usual is None or told.stopgap.cost.high < told.usual.cost.high, seed
        elif told.usual is None:
            assert not lower, seed
        best, kept = (told.usual, world.keeping) if world.keeping else (told.stopgap, lower)
        if best:
            like = [mix for mix in kept if set(mix.unpreferred) <= set(best.unpreferred)]
            firmest = max(grip_of(mix) for mix in like)
            assert firmest == grip_of(told.firm or best), seed
            dearest = min(mix.cost.high for mix in like if grip_of(mix) == firmest)
            assert told.firm is None or dearest == told.firm.cost.high, seed


@pytest.mark.parametrize("block", BLOCKS)
def test_every_step_is_firmer_and_the_last_is_the_firmest(block: str) -> None:
    for seed, world in worlds(block):
        _, told = answered(world)
        plan = before = told.usual or told.stopgap
        for step in told.steps:
            assert plan is not None, seed
            assert before is not None, seed
            assert grip_of(step.plan) > grip_of(before), seed
            assert step.plan.cost.high - before.cost.high == step.more >= 0, seed
            assert set(step.plan.unpreferred) <= set(plan.unpreferred), seed
            assert (before.weakest.hold_n, step.plan.weakest.hold_n) == (step.weakest_before_n, step.weakest_n), seed
            before = step.plan
        assert told.firm is (told.steps[-1].plan if told.steps else None), seed


@pytest.mark.parametrize("block", BLOCKS)
def test_a_wider_cap_never_lowers_the_firm_plan_that_keeps_as_much(block: str) -> None:
    widened = 0
    for seed, world in worlds(block):
        found, told = answered(world)
        caps = [rule for rule in world.problem.rules if isinstance(rule, Budget)]
        if not (caps and found.tier == "usual" and told.usual):
            continue
        for factor in (2, 1000):
            rules = tuple(Budget(r.cap * factor) if isinstance(r, Budget) else r for r in world.problem.rules)
            wider = tiers(answer(replace(world.problem, rules=rules), world.mechanics, HOW), HOW)
            assert wider.usual is not None
            if set(wider.usual.unpreferred) >= set(told.usual.unpreferred):
                assert grip_of(wider.firm or wider.usual) >= grip_of(told.firm or told.usual), seed
                widened += 1
    assert widened or block not in ("random, most fit", "mirrored, most fit")


def test_at_the_stopgap_the_promise_of_the_usual_tier_is_not_asked() -> None:
    for _, world in worlds("random, most fit"):
        below = at_stopgap(world.problem)

        assert not any(isinstance(rule, Spread) for rule in below.rules)
        assert set(world.problem.stopgap) <= set(below.rules)
        assert {rule.tier for rule in below.rules if isinstance(rule, Pulls)} <= {"", "stopgap"}
        assert () == below.stopgap


def clip(name: str, n: float, price: float, high_n: float | None = None) -> dict[str, Any]:
    return part(name, retention_n=band(n, high_n or n), price=band(price, price))


def promised(*clips: dict[str, Any], **figures: float) -> Catalogue:
    """The weakest pull of a clip is that at a side, 0.305 of its retention; 0.5 N are a stopgap, 1 N is usual."""
    catalogue = promising(stock(*clips), "stopgap", **({"sides_n": 0.5} | figures))
    return promising(catalogue, "usual", sides_n=1)


LADDER = (clip("a", 2, 5), clip("b", 4, 10), clip("c", 5, 11), clip("d", 8, 20), clip("e", 12, 30), clip("f", 20, 60))


def names(told: Tiers) -> tuple[str | None, str | None, str | None, list[str]]:
    plans = (told.stopgap, told.usual, told.firm)
    one, two, three = (plan.mix[0].attachment.id if plan else None for plan in plans)
    return one, two, three, [step.plan.mix[0].attachment.id for step in told.steps]


LADDERS: dict[str, tuple[tuple[str | None, str | None, str | None, list[str]], tuple[str, ...], dict[str, Any]]] = {
    "two steps, then the firmest": (("a", "b", "f", ["d", "e", "f"]), ("a", "b", "c", "d", "e", "f"), {}),
    "what gains too little is no step": (("a", "b", "d", ["d"]), ("a", "b", "c", "d"), {}),
    "but the firmest is, however little it gains": (("a", "b", "c", ["c"]), ("a", "b", "c"), {}),
    "a cap above all tiers": (("a", "b", "d", ["d"]), ("a", "b", "c", "d", "e"), {"money": {"cap": 25}}),
    "what the hand cannot lift": (("a", "b", "d", ["d"]), ("a", "b", "d", "e"), {"wanted": {"most_n": 3}}),
    "the usual plan is the cheapest": ((None, "b", "d", ["d"]), ("b", "d"), {}),
    "nothing is firmer": (("a", "b", None, []), ("a", "b"), {}),
    "no usual plan": (("a", None, None, []), ("a",), {}),
    "none at all": ((None, None, None, []), ("a",), {"wanted": {"pull_n": {"front": 50}}}),
}


@pytest.mark.parametrize(("expected", "parts", "changes"), LADDERS.values(), ids=LADDERS)
def test_ladders_of_one_clip(
    expected: tuple[str | None, str | None, str | None, list[str]], parts: tuple[str, ...], changes: dict[str, Any]
) -> None:
    """A step gains a quarter, and half a newton at the least: from 1.22 N (b) to 2.44 (d), 3.66 (e) and 6.1 (f)."""
    clips = [each for each in LADDER if each["id"] in parts]
    found = plan(small_case(**changes), promised(*clips))

    assert expected == names(tiers(found))


def test_without_time_nothing_is_called_complete() -> None:
    case, catalogue = large_world()
    found = plan(case, catalogue, Options(time_limit_s=0.0))

    assert Status.UNDECIDED is found.status
    assert not tiers(found, Options(time_limit_s=0.0)).complete


def test_mechanics_of_one_problem_serve_the_other() -> None:
    """The same case with other rules: what a mix takes is the same."""
    for _, world in worlds("random, most fit")[:4]:
        below = at_stopgap(world.problem)
        own, lent = Mechanics(below), world.mechanics
        for mix in world.keeping:
            again = [below.option_of[key] for key in mix.keys]
            assert [p.hold_n for p in own.pulls(again)] == [p.hold_n for p in lent.pulls(mix.options)]
