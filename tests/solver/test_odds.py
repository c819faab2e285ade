"""What an answer is worth, by hand and against the sum over every outcome."""

from __future__ import annotations

from itertools import product
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.odds import Hanging, Worth, worth

QUESTIONS = "abcd"


def plan(on: str, cost: int) -> Hanging[str]:
    return Hanging(frozenset(on), cost)


BY_HAND = {
    "an answer that a dearer plan can do without": ([plan("", 100), plan("a", 40)], 0.5, Worth(30.0, 0.0)),
    "an answer that every plan hangs on": ([plan("a", 40)], 0.25, Worth(0.0, 0.25)),
    "one of two that are needed together": ([plan("", 100), plan("ab", 40)], 0.5, Worth(15.0, 0.0)),
    "one of two of which either will do": ([plan("", 100), plan("a", 40), plan("b", 40)], 0.5, Worth(15.0, 0.0)),
    "an answer that no plan hangs on": ([plan("", 100), plan("b", 40)], 0.5, Worth(0.0, 0.0)),
}


@pytest.mark.parametrize(("plans", "chance", "expected"), BY_HAND.values(), ids=BY_HAND)
def test_worth_by_hand(plans: list[Hanging[str]], chance: float, expected: Worth) -> None:
    found = worth("a", plans, {"a": chance, "b": 0.5})

    assert pytest.approx(expected.saving) == found.saving
    assert pytest.approx(expected.rescue) == found.rescue


plans = st.lists(st.builds(Hanging, st.frozensets(st.sampled_from(QUESTIONS)), st.integers(0, 50)), max_size=6)
chances = st.fixed_dictionaries({question: st.floats(0, 1) for question in QUESTIONS})


@given(plans, chances)
def test_worth_is_the_mean_over_every_outcome(plans: list[Hanging[str]], chance: dict[str, float]) -> None:
    def least(good: frozenset[str]) -> float:
        return min((plan.cost for plan in plans if plan.on <= good), default=inf)

    saving = rescue = 0.0
    for outcome in product((True, False), repeat=len(QUESTIONS)):
        odds, good = 1.0, frozenset(q for q, well in zip(QUESTIONS, outcome, strict=True) if well)
        for question, well in zip(QUESTIONS, outcome, strict=True):
            odds *= chance[question] if well else 1 - chance[question]
        with_it, without = least(good), least(good - {"a"})
        saving += odds * (without - with_it) if without < inf else 0.0
        rescue += odds if with_it < inf <= without else 0.0
    found = worth("a", plans, chance)

    assert pytest.approx(saving, abs=1e-9) == found.saving
    assert pytest.approx(rescue, abs=1e-9) == found.rescue
