"""The bound by hold alone is the least that trying everything finds."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.assess.problem import problem_of
from solver.choose import knapsack
from solver.choose.hold_bound import CheapestMix
from solver.choose.knapsack import Group, Item, Lightest, lightest
from solver.choose.ranking import best_first
from tests.referee.random_case import random_world
from tests.solver.choose.test_choose import SEEDS, every_mix

ITEMS = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 40)), max_size=4)
GROUPS = st.lists(st.tuples(ITEMS, st.booleans()), max_size=4)


def groups_of(drawn: list[tuple[list[tuple[int, int]], bool]]) -> list[Group]:
    names = iter(range(99))
    return [Group([Item(w, size, next(names)) for w, size in items], filled) for items, filled in drawn]


def least(groups: list[Group], floor: int) -> int | None:
    """By trying every choice."""
    choices = product(*([*group.items, *(() if group.filled else (Item(0, 0, -1),))] for group in groups))
    fitting = (sum(i.weight for i in taken) for taken in choices if sum(i.size for i in taken) >= floor)
    return min(fitting, default=None)


@given(GROUPS, st.integers(0, 120))
def test_lightest_is_that_of_trying_all(drawn: list[tuple[list[tuple[int, int]], bool]], floor: int) -> None:
    groups = groups_of(drawn)
    found = lightest(groups, floor)
    by_name = {item.name: item for group in groups for item in group.items}

    assert least(groups, floor) == (found.weight if found else None)
    if found:
        taken = [by_name[name] for name in found.taken]
        assert found.weight == sum(item.weight for item in taken)
        assert sum(item.size for item in taken) >= floor
        for group in groups:
            assert sum(item in group.items for item in taken) in ((1,) if group.filled else (0, 1))


@given(GROUPS, st.integers(0, 120))
def test_larger_steps_only_loosen(drawn: list[tuple[list[tuple[int, int]], bool]], floor: int) -> None:
    """Counted in few steps the bound is no higher, and never says that there is nothing where there is."""
    groups = groups_of(drawn)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(knapsack, "MOST_STEPS", 7)
        found, real = lightest(groups, floor), least(groups, floor)

    assert real is None or (found is not None and found.weight <= real)


@pytest.mark.parametrize(
    ("reached", "floor", "size"),
    [
        (False, 7, 6),
        (True, 8, 7),
        (False, 8, 6),
        (True, 15, 13),
        (False, 15, 12),
        (False, 70, 60),
        (True, 80, 70),
        (False, 0, None),
        (False, 8, None),
    ],
    ids=[
        "as many as may be: exact", "steps of 2, 4 of 4", "3 of 4", "steps of 3, 5 of 5", "4 of 5",
        "steps of the common divisor: exact", "but no more than may be", "nothing to reach", "nothing to take",
    ],
)  # fmt: skip
def test_no_more_steps_than_may_be_and_none_is_larger_than_they_make_it(
    monkeypatch: pytest.MonkeyPatch, reached: bool, floor: int, size: int | None
) -> None:
    """Of seven steps at most; a size counts for the next whole step, a floor for the one before."""
    monkeypatch.setattr(knapsack, "MOST_STEPS", 7)
    found = lightest([Group([Item(5, size, 3)] if size else [])], floor)

    assert (Lightest(5, (3,)) if reached else Lightest(0, ()) if floor == 0 else None) == found


@pytest.mark.parametrize("seed", SEEDS)
def test_no_mix_that_keeps_the_rules_is_cheaper_than_the_bound(seed: int) -> None:
    """On random cases with charges, bars that come off and ends that must be covered."""
    problem = problem_of(*random_world(seed))
    options = [option for option in problem.options if not option.needs_waived]
    total = 1
    for site in problem.site_ids:
        total *= 1 + sum(option.site == site for option in options)
    assert total <= 4000  # all are tried
    best = next(every_mix(problem), None)
    ranking = best_first(problem, options)
    bound = CheapestMix(options, ranking).of((), problem.rules)

    if best is not None:
        assert bound is not None
        assert problem.cost_of([options[i].candidate for i in bound.picked]).high <= best[0]
