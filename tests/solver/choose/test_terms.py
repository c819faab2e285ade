"""Which sets of preferences are searched: none that cannot win, and the best of all sets is among those that are."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from solver.assess.oracle import Mechanics
from solver.choose.master import Master, Outcome
from solver.choose.ranking import best_first
from solver.choose.search import Options, Search, choose
from solver.choose.terms import terms_factor, terms_order, terms_weight
from tests.solver.tiered_worlds import BLOCKS, worlds


@pytest.mark.parametrize("block", BLOCKS)
def test_no_set_of_preferences_holds_a_better_mix(block: str) -> None:
    """Every set is searched here, without a bound."""
    for seed, world in worlds(block):
        problem = world.problem
        found = choose(problem, Mechanics(problem), Options()).best
        if found is None:
            continue
        mechanics = Mechanics(problem)
        options = [option for option in problem.options if not option.needs_waived]
        search = Search(problem, mechanics, Master(problem, options, mechanics), Options())
        ranking, best = best_first(problem, options, "now"), []
        for size in range(len(problem.preferences) + 1):
            for wanted in combinations(problem.preferences, size):
                search.master.prefer(wanted)
                solved = search.settle(ranking)
                if solved.outcome is Outcome.OPTIMAL:
                    mix = search.mix_of(solved)
                    best.append((terms_weight(mix, "now"), terms_order(problem, mix.unpreferred)))

        assert (terms_weight(found, "now"), terms_order(problem, found.unpreferred)) == min(best), seed


def test_what_is_gone_without_raises_the_cost_by_its_share() -> None:
    world = next(world for block in BLOCKS for _, world in worlds(block) if world.problem.preferences)
    saves = [Fraction(str(each.saves)) for each in world.problem.preferences]

    assert terms_factor(()) == 1
    for each, share in zip(world.problem.preferences, saves, strict=True):
        assert terms_factor([each]) * (1 - share) == 1
