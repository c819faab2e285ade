from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.explain.algorithms import (
    BoundNegativeError,
    RepeatedMemberError,
    UnknownMemberError,
    minimal_hitting_sets,
)
from tests.solver.explain.algorithms.problems import subsets

ORDER = ("a", "b", "c", "d", "e")
families = st.lists(st.frozensets(st.sampled_from(ORDER)), max_size=6)


def by_trying_every_subset(family: list[frozenset[str]]) -> list[tuple[str, ...]]:
    """`subsets` runs by size, then by order, so the list does too."""
    hits = [chosen for chosen in subsets(ORDER) if all(each & set(chosen) for each in family)]
    return [chosen for chosen in hits if not any(set(other) < set(chosen) for other in hits)]


@pytest.mark.parametrize(
    ("family", "expected"),
    [
        ([], [()]),
        ([""], []),
        (["a", ""], []),
        (["ab"], [("a",), ("b",)]),
        (["a", "ab"], [("a",)]),
        (["ab", "cd"], [("a", "c"), ("a", "d"), ("b", "c"), ("b", "d")]),
        (["ab", "bc"], [("b",), ("a", "c")]),
    ],
    ids=["no sets", "empty set", "empty set last", "one set", "contained", "disjoint", "smallest first"],
)
def test_small_families(family: list[str], expected: list[tuple[str, ...]]) -> None:
    assert tuple(expected) == minimal_hitting_sets(family, ORDER)


@given(families)
def test_agrees_with_every_subset_tried(family: list[frozenset[str]]) -> None:
    assert tuple(by_trying_every_subset(family)) == minimal_hitting_sets(family, ORDER)


@given(families, st.integers(0, 5))
def test_the_bound_leaves_out_the_larger_ones_only(family: list[frozenset[str]], max_size: int) -> None:
    within = [each for each in by_trying_every_subset(family) if len(each) <= max_size]

    assert tuple(within) == minimal_hitting_sets(family, ORDER, max_size=max_size)


@given(families)
def test_hitting_twice_gives_the_minimal_sets_of_the_family(family: list[frozenset[str]]) -> None:
    """Berge: the hitting sets of the hitting sets are the family without the sets that contain another."""
    minimal = {each for each in family if not any(other < each for other in family)}
    twice = minimal_hitting_sets(minimal_hitting_sets(family, ORDER), ORDER)

    assert minimal == {frozenset(each) for each in twice}


@given(families, st.permutations(ORDER))
def test_the_order_of_members_changes_no_set(family: list[frozenset[str]], order: list[str]) -> None:
    expected = {frozenset(each) for each in minimal_hitting_sets(family, ORDER)}

    assert expected == {frozenset(each) for each in minimal_hitting_sets(family, order)}


def test_refuses_a_member_without_place() -> None:
    with pytest.raises(UnknownMemberError, match="'z' does not stand in the order"):
        minimal_hitting_sets(["az"], ORDER)


def test_refuses_a_member_with_two_places() -> None:
    with pytest.raises(RepeatedMemberError, match="'a' stands twice in the order"):
        minimal_hitting_sets([], "aba")


def test_refuses_a_negative_bound() -> None:
    with pytest.raises(BoundNegativeError, match="max_size must be 0 or more, got -1"):
        minimal_hitting_sets([], ORDER, max_size=-1)
