"""Plans of tiny cases against the plainest decision that can be written, which shares nothing with either opinion."""

from __future__ import annotations

from collections import Counter
from functools import cache

from solver.choose.plan import Answer, plan
from solver.explore.agreement import Accord, agreement
from tests.referee.brute_force import Best, BruteForce
from tests.referee.tiny_case import tiny_world
from tests.referee.worlds import ALL, hold_on

SEEDS = range(200 if ALL else 20)


@cache
def answered(seed: int) -> Answer:
    return plan(*tiny_world(seed))


def ours(answer: Answer) -> Best | None:
    best = answer.best
    if best is None:
        return None
    given_up = frozenset(entry.rule.code for entry in best.given_up)
    weight = best.weight_below if given_up else 0
    without = frozenset(preference.code for preference in best.unpreferred)
    return Best(not given_up, weight, best.cost.high, sum(c.parts for c in best.mix), given_up, without)


def test_the_plan_is_that_of_brute_force() -> None:
    def law(seed: int) -> None:
        found = ours(answered(seed))
        best: set[Best | None] = {*BruteForce(*tiny_world(seed)).decide()}
        assert found in (best or {None})

    hold_on(SEEDS, law)


def test_the_second_opinion_agrees_on_these_too() -> None:
    def law(seed: int) -> None:
        assert Accord.AGREES is agreement(answered(seed)).accord

    hold_on(SEEDS, law)


def test_the_tiny_cases_are_not_all_alike() -> None:
    found = [ours(answered(seed)) for seed in SEEDS]
    kinds = Counter(code.partition(":")[0] for best in found if best for code in best.given_up)

    assert min(sum(best is not None and best.fits is fits for best in found) for fits in (True, False)) >= 5
    assert len(kinds) >= 4
    assert any(best and best.without for best in found)
