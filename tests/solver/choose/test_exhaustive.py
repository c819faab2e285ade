"""Under tiers and preferences the answers are those of trying every mix of small worlds, mirrored ones among them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pytest

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least
from solver.choose.cutter import grip_of
from solver.choose.goals import COST
from solver.choose.master import Outcome
from solver.choose.search import LEAST_PULL, Choice, Options, choose, choose_least, choose_relaxed
from tests.solver.oracle import giving_up_least, is_best, on_terms, rank, weight, without
from tests.solver.tiered_worlds import BLOCKS, Tried, worlds


@pytest.mark.parametrize("least", ["now", "years"])
@pytest.mark.parametrize("block", BLOCKS)
def test_the_choice_is_the_cheapest_on_its_terms(block: str, least: Least) -> None:
    for seed, world in worlds(block):
        found = choose(world.problem, Mechanics(world.problem), Options(least=least))

        assert (Outcome.OPTIMAL if world.keeping else Outcome.INFEASIBLE) is found.outcome, seed
        assert bool(world.keeping) is bool(found.best), seed
        if found.best:
            assert () == found.best.broken, seed
            assert is_best(found.best, world.keeping, least), (seed, found.best.keys)


@pytest.mark.parametrize("block", BLOCKS)
def test_the_list_goes_on_on_the_terms_of_the_best(block: str) -> None:
    """The best three: none comes twice, and each ranks as its place among the mixes on these terms."""
    for seed, world in worlds(block):
        found = choose(world.problem, Mechanics(world.problem), Options(plans=3))
        if not found.best:
            continue
        terms = without(found.best)
        ranked = sorted(rank(mix) for mix in world.keeping if without(mix) <= terms)

        assert ranked[:3] == [rank(mix) for mix in found.mixes], seed
        assert len(found.mixes) == len({mix.keys for mix in found.mixes}), seed


@pytest.mark.parametrize("block", BLOCKS)
def test_what_is_given_up_weighs_least_amounts_counted_and_then_is_the_cheapest_on_its_terms(block: str) -> None:
    for seed, world in worlds(block):
        least, lightest = giving_up_least(world.every)
        found = choose_relaxed(world.problem, Mechanics(world.problem), Options())

        assert (Outcome.OPTIMAL if lightest else Outcome.INFEASIBLE) is found.outcome, seed
        if found.best:
            assert least == weight(found.best), (seed, found.best.keys, found.best.given_up)
            assert is_best(found.best, lightest), (seed, found.best.keys)


@pytest.mark.parametrize("block", BLOCKS)
def test_the_best_least_pull_and_the_least_that_it_costs(block: str) -> None:
    for seed, world in worlds(block):
        found = _firmest(world)
        best = max(((grip_of(mix), -mix.cost.high) for mix in world.keeping), default=None)

        assert (Outcome.OPTIMAL if best else Outcome.INFEASIBLE) is found.outcome, seed
        assert best == next(((grip_of(mix), -mix.cost.high) for mix in found.mixes), None), seed


@pytest.mark.parametrize("block", BLOCKS)
def test_each_least_pull_is_had_at_the_least_cost(block: str) -> None:
    """Of all least pulls each in turn is asked for; one more than the most is had by none."""
    for seed, world in worlds(block):
        for grip in {0, *(grip_of(mix) for mix in world.keeping), _most(world.keeping) + 1}:
            within = [mix for mix in world.keeping if grip_of(mix) >= grip]
            found = choose_least(
                world.problem, Mechanics(world.problem), Options(), [COST.goal], [(LEAST_PULL, -grip)]
            )

            assert min((mix.cost.high for mix in within), default=None) == next(
                (mix.cost.high for mix in found.mixes), None
            ), (seed, grip)
            assert all(grip_of(mix) >= grip for mix in found.mixes), (seed, grip)


def _firmest(world: Tried) -> Choice:
    return choose_least(world.problem, Mechanics(world.problem), Options(), [LEAST_PULL, COST.goal])


def _most(mixes: Sequence[Assessment]) -> int:
    return max((grip_of(mix) for mix in mixes), default=0)


def test_these_worlds_are_of_every_kind() -> None:
    """Else trying them all would prove little."""
    every = [world for block in BLOCKS for _, world in worlds(block)]
    broken = Counter(
        code for world in every for code in {rule.code.split(":")[0] for mix in world.every for rule in mix.broken}
    )

    assert len(every) >= 60
    assert sum(bool(world.keeping) for world in every) >= 18
    rules = {"pulls", "spread", "even", "peel", "fights", "borne", "supports", "budget", "need", "allowed", "moves"}
    assert rules <= set(broken)
    assert sum(bool(world.problem.mirrors) for world in every) >= 30
    for code in ("alike", "whole-bar", "three-points"):
        assert any(
            on_terms(mix) > mix.cost.high and code in {p.code for p in without(mix)}
            for world in every
            for mix in world.keeping
        )
    assert any(mix.takes_bar_off for world in every for mix in world.keeping)
