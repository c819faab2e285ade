"""Explanation algorithms against worked examples of the literature.

Each example says how its answer is known: read in the publication or in a program's documentation, or stated
from memory. What is not printed there was worked out apart from this project by trying every subset.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import log2
from typing import Any

import pytest
from ortools.sat.python import cp_model

from solver.explain.algorithms import (
    Clash,
    Ending,
    Oracle,
    Verdict,
    all_clashes,
    cheapest_waiver_sets,
    minimal_hitting_sets,
    preferred_clash,
    shrink,
    waiver_sets,
)
from tests.published.tables.explanation import DROP_COSTS, EXAMPLES, FAMILY, PRICES, WISHES, options_within, sets
from tests.solver.explain.algorithms.problems import counting


@pytest.mark.parametrize("example", EXAMPLES, ids=[example[0] for example in EXAMPLES])
def test_both_listings_are_whole_and_hit_each_other(example: tuple[Any, ...]) -> None:
    """Each is the minimal hitting sets of the other (Reiter 1987); the sets themselves are in the table of checks."""
    _, order, oracle, clashes, _, waived, _ = example
    clash_listing, waiver_listing = all_clashes(order, oracle), waiver_sets(order, oracle)

    assert set(clashes) == {frozenset(each.members) for each in clash_listing}
    assert set(waived) == {frozenset(each.members) for each in waiver_listing}
    assert Ending.COMPLETE is clash_listing.ending
    assert Ending.COMPLETE is waiver_listing.ending
    assert set(waived) == {frozenset(each) for each in minimal_hitting_sets(clashes, order)}
    assert set(clashes) == {frozenset(each) for each in minimal_hitting_sets(waived, order)}


def cheapest_by_cp_sat(blocked: Sequence[frozenset[str]], weights: Mapping[str, int]) -> frozenset[str] | None:
    """The same wishes as a model of a general constraint solver, with one clause for each blocked set."""
    model = cp_model.CpModel()
    keep = {wish: model.new_bool_var(wish) for wish in WISHES}
    model.add(sum(price * keep[wish] for wish, price in PRICES.items()) <= 3000).only_enforce_if(keep["c1"])
    model.add_at_most_one(keep["c2"], keep["c3"])
    for waived in blocked:
        model.add_bool_or(keep[wish] for wish in WISHES if wish in waived)
    model.minimize(sum(weights[wish] * (1 - keep[wish]) for wish in WISHES))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        pytest.fail(f"a model of five wishes was left at {solver.status_name(status)}")
    return frozenset(wish for wish in WISHES if not solver.value(keep[wish]))


def test_cheapest_waivers_of_the_wishes_by_a_general_solver() -> None:
    listing = cheapest_waiver_sets(WISHES, cheapest_by_cp_sat, weights=DROP_COSTS)
    found = list(listing)

    assert sets("c2 c5", "c2 c3 c4") == {frozenset(each.members) for each in found[:2]}
    assert [each.weight for each in found] == [4, 4, 5, 6, 7]
    assert {frozenset(each.members) for each in found} == sets("c1 c2", "c1 c3", "c2 c5", "c3 c5", "c2 c3 c4")
    assert Ending.COMPLETE is listing.ending


@pytest.mark.parametrize("find_clash", [shrink, preferred_clash], ids=["removal", "quickxplain"])
@pytest.mark.parametrize(
    ("order", "expected"),
    [
        (("r1", "r2", "r3", "r4", "r5"), ("r1", "r5")),
        (("r5", "r4", "r3", "r2", "r1"), ("r5", "r4")),
    ],
    ids=["first option preferred", "last option preferred"],
)
def test_preferred_conflict_of_the_options(
    find_clash: Callable[[Sequence[str], Oracle[str]], Clash[str] | Verdict],
    order: tuple[str, ...],
    expected: tuple[str, ...],
) -> None:
    """Junker 2004: preferring an option makes it stay in the explanation."""
    assert Clash(expected, proved_minimal=True) == find_clash(order, options_within(3000))


@pytest.mark.parametrize("clash", [(0,), (31,), (0, 31), (3, 4), (7, 11, 13, 30), tuple(range(8))], ids=str)
def test_quickxplain_asks_no_more_than_published(clash: tuple[int, ...]) -> None:
    """Junker 2004, from memory: at most 2k log2(n/k) + 2k questions for k of n constraints.

    Ours asks two more: whether all of them clash, and whether what always holds clashes by itself.
    """
    names = tuple(f"r{place}" for place in range(32))
    members = tuple(names[place] for place in clash)
    oracle, questions = counting(lambda kept: Verdict.NO if kept.issuperset(members) else Verdict.YES)

    assert Clash(members, proved_minimal=True) == preferred_clash(names, oracle)
    assert questions() <= 2 * len(clash) * log2(len(names) / len(clash)) + 2 * len(clash) + 2


def test_hitting_sets_of_at_most_two() -> None:
    """Of Reiter's family (memory) only {1, 2} is left where at most two may be named."""
    assert ((1, 2),) == tuple(minimal_hitting_sets(FAMILY, range(1, 7), max_size=2))
