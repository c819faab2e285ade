from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.explain.algorithms import (
    BoundNegativeError,
    Ending,
    Optimiser,
    OracleFaultError,
    UnknownMemberError,
    Verdict,
    WaiverSet,
    WeightNotPositiveError,
    cheapest_waiver_sets,
    waiver_sets,
)
from tests.solver.explain.algorithms.problems import Problem, subsets, weighted_problems

Weighted = tuple[Problem, dict[str, int]]

# Of the three, any two exclude each other.
PAIRWISE = Problem(tuple("abc"), tuple(map(frozenset, "abc")))


def trying_every_subset(problem: Problem) -> Optimiser[str]:
    """An optimiser that looks at every subset; ties by size, then order."""

    def cheapest(blocked: Sequence[frozenset[str]], weights: Mapping[str, int]) -> frozenset[str] | None:
        corrections = [
            frozenset(dropped)
            for dropped in subsets(problem.order)
            if problem.is_satisfiable(frozenset(problem.order) - set(dropped)) is Verdict.YES
            and not any(each <= set(dropped) for each in blocked)
        ]
        return min(corrections, key=lambda each: sum(weights[member] for member in each), default=None)

    return cheapest


def expected_listing(problem: Problem, weights: Mapping[str, int], max_size: int) -> list[WaiverSet[str]]:
    """By weight, then size, then order."""
    found = [
        WaiverSet(members, sum(weights[member] for member in members))
        for members in problem.waiver_sets()
        if len(members) <= max_size
    ]
    rank = problem.order.index
    return sorted(found, key=lambda each: (each.weight, len(each.members), [*map(rank, each.members)]))


@given(weighted_problems(), st.integers(0, 8))
def test_asking_yes_or_no_lists_them_lightest_first(weighted: Weighted, max_size: int) -> None:
    problem, weights = weighted
    listing = waiver_sets(problem.order, problem.is_satisfiable, weights=weights, max_size=max_size)

    assert expected_listing(problem, weights, max_size) == list(listing)


@given(weighted_problems(), st.integers(0, 8))
def test_optimising_lists_them_lightest_first(weighted: Weighted, max_size: int) -> None:
    problem, weights = weighted
    optimiser = trying_every_subset(problem)
    listing = cheapest_waiver_sets(problem.order, optimiser, weights=weights, max_size=max_size)

    assert expected_listing(problem, weights, max_size) == list(listing)


@given(weighted_problems(), st.integers(0, 8))
def test_complete_is_only_said_when_all_are_listed(weighted: Weighted, max_size: int) -> None:
    problem, weights = weighted
    all_within_bound = all(len(each) <= max_size for each in problem.waiver_sets())
    asked = waiver_sets(problem.order, problem.is_satisfiable, weights=weights, max_size=max_size)
    optimised = cheapest_waiver_sets(problem.order, trying_every_subset(problem), weights=weights, max_size=max_size)
    for listing in (asked, optimised):
        list(listing)

        assert listing.ending in {Ending.COMPLETE, Ending.BOUNDED}
        assert all_within_bound or listing.ending is Ending.BOUNDED


def test_without_weights_the_smallest_come_first() -> None:
    problem = Problem(tuple("abcd"), (frozenset("ab"), frozenset("bcd")))
    expected = [WaiverSet(("a",), 1), WaiverSet(("c", "d"), 2)]

    assert expected == list(waiver_sets(problem.order, problem.is_satisfiable))
    assert expected == list(cheapest_waiver_sets(problem.order, trying_every_subset(problem)))


def test_the_optimiser_is_not_asked_on_when_only_larger_sets_can_follow() -> None:
    """Each waiver set of the pairwise problem has two members: the first answer shows that none has one."""
    asked: list[int] = []
    cheapest = trying_every_subset(PAIRWISE)

    def recording(blocked: Sequence[frozenset[str]], weights: Mapping[str, int]) -> frozenset[str] | None:
        asked.append(len(blocked))
        answer = cheapest(blocked, weights)
        assert answer is None or isinstance(answer, frozenset)
        return answer

    listing = cheapest_waiver_sets(PAIRWISE.order, recording, max_size=1)

    assert list(listing) == []
    assert Ending.BOUNDED is listing.ending
    assert asked == [0]


def test_an_undecided_optimiser_ends_the_listing_undecided() -> None:
    def gives_up_after_one(
        blocked: Sequence[frozenset[str]], _weights: Mapping[str, int]
    ) -> frozenset[str] | Literal[Verdict.UNDECIDED]:
        return Verdict.UNDECIDED if blocked else frozenset("ab")

    listing = cheapest_waiver_sets(PAIRWISE.order, gives_up_after_one)

    assert [WaiverSet(("a", "b"), 2)] == list(listing)
    assert Ending.UNDECIDED is listing.ending


@pytest.mark.parametrize(
    ("second", "fault"),
    [("abc", "contains a blocked set"), ("c", "is lighter than an earlier answer")],
    ids=["blocked", "lighter"],
)
def test_an_optimiser_that_breaks_its_promise_is_named(second: str, fault: str) -> None:
    answers = iter([frozenset("ab"), frozenset(second)])
    listing = cheapest_waiver_sets(PAIRWISE.order, lambda _blocked, _weights: next(answers))

    assert WaiverSet(("a", "b"), 2) == next(listing)
    with pytest.raises(OracleFaultError) as caught:
        next(listing)
    assert f"the optimiser answered {list(second)}, which {fault}" == str(caught.value)


def test_an_answer_with_an_unknown_member_is_refused() -> None:
    listing = cheapest_waiver_sets(PAIRWISE.order, lambda _blocked, _weights: frozenset("z"))

    with pytest.raises(UnknownMemberError, match="'z' does not stand in the order"):
        next(listing)


@pytest.mark.parametrize(
    ("weights", "message"),
    [
        ({"a": 1, "b": 0, "c": 1}, "weight of 'b' must be a whole number above 0, got 0"),
        ({"a": 1, "b": 1}, "weight of 'c' must be a whole number above 0, got None"),
    ],
    ids=["zero", "missing"],
)
def test_weights_must_be_above_zero(weights: dict[str, int], message: str) -> None:
    """Refused at once, not at the first reading."""
    with pytest.raises(WeightNotPositiveError, match=message):
        waiver_sets(PAIRWISE.order, PAIRWISE.is_satisfiable, weights=weights)
    with pytest.raises(WeightNotPositiveError, match=message):
        cheapest_waiver_sets(PAIRWISE.order, trying_every_subset(PAIRWISE), weights=weights)


def test_the_bound_must_not_be_negative() -> None:
    with pytest.raises(BoundNegativeError, match="max_size must be 0 or more, got -1"):
        waiver_sets(PAIRWISE.order, PAIRWISE.is_satisfiable, max_size=-1)
    with pytest.raises(BoundNegativeError, match="max_size must be 0 or more, got -1"):
        cheapest_waiver_sets(PAIRWISE.order, trying_every_subset(PAIRWISE), max_size=-1)
