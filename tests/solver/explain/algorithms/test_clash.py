from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from hypothesis import given

from solver.explain.algorithms import Clash, Oracle, RepeatedMemberError, Verdict, preferred_clash, shrink
from tests.solver.explain.algorithms.problems import Problem, counting, doubted_problems, problems

Finder = Callable[[Sequence[str], Oracle[str]], Clash[str] | Verdict]
both = pytest.mark.parametrize("find_clash", [shrink, preferred_clash], ids=["shrink", "preferred"])

# a and b exclude each other, and so do c and d.
TWO_PAIRS = Problem(tuple("abcd"), tuple(map(frozenset, ("ac", "ad", "bc", "bd"))))
NOTHING_HOLDS = Problem(("a", "b"), ())


@both
@pytest.mark.parametrize(("order", "expected"), [("abcd", "ab"), ("dcba", "dc"), ("acbd", "ab")])
def test_what_stands_first_stays(find_clash: Finder, order: str, expected: str) -> None:
    assert Clash(tuple(expected), proved_minimal=True) == find_clash(order, TWO_PAIRS.is_satisfiable)


@both
def test_what_always_holds_can_clash_by_itself(find_clash: Finder) -> None:
    assert Clash((), proved_minimal=True) == find_clash(("a", "b"), NOTHING_HOLDS.is_satisfiable)
    assert Clash((), proved_minimal=True) == find_clash((), NOTHING_HOLDS.is_satisfiable)


@both
def test_no_clash_where_all_can_hold(find_clash: Finder) -> None:
    assert Verdict.YES is find_clash("ac", TWO_PAIRS.is_satisfiable)


@both
def test_no_clash_where_the_oracle_is_silent(find_clash: Finder) -> None:
    """UNDECIDED about the whole is not taken for a NO."""
    assert Verdict.UNDECIDED is find_clash("ab", lambda _kept: Verdict.UNDECIDED)


@both
def test_refuses_a_member_named_twice(find_clash: Finder) -> None:
    with pytest.raises(RepeatedMemberError, match="'a' stands twice"):
        find_clash("aa", TWO_PAIRS.is_satisfiable)


@both
def test_a_doubt_leaves_members_to_spare(find_clash: Finder) -> None:
    """The oracle knows only that all four clash; all four are shown, and are not called minimal."""

    def knows_only_the_whole(kept: frozenset[str]) -> Verdict:
        return Verdict.NO if len(kept) == 4 else Verdict.UNDECIDED

    assert Clash(tuple("abcd"), proved_minimal=False) == find_clash("abcd", knows_only_the_whole)


@both
@given(problem=problems())
def test_finds_a_minimal_clash_or_there_is_none(find_clash: Finder, problem: Problem) -> None:
    found = find_clash(problem.order, problem.is_satisfiable)

    if isinstance(found, Clash):
        assert found.proved_minimal
        assert found.members in problem.clashes()
    else:
        assert Verdict.YES is found
        assert set() == problem.clashes()


@both
@given(doubted=doubted_problems())
def test_what_is_proved_is_true_whatever_the_doubts(find_clash: Finder, doubted: tuple[Problem, Oracle[str]]) -> None:
    problem, oracle = doubted
    found = find_clash(problem.order, oracle)

    if isinstance(found, Clash):
        assert Verdict.NO is problem.is_satisfiable(frozenset(found.members))
        assert not found.proved_minimal or found.members in problem.clashes()
    else:
        assert oracle(frozenset(problem.order)) is found


@given(problems())
def test_both_ways_find_the_same_clash(problem: Problem) -> None:
    """There is exactly one most preferred clash, so division and plain removal must meet."""
    oracle = problem.is_satisfiable

    assert shrink(problem.order, oracle) == preferred_clash(problem.order, oracle)


def test_shrink_asks_once_for_each_member_and_once_for_all() -> None:
    oracle, questions = counting(TWO_PAIRS.is_satisfiable)
    shrink("abcd", oracle)

    assert questions() == 5


@given(problems())
def test_preferred_clash_asks_nothing_twice(problem: Problem) -> None:
    asked: list[frozenset[str]] = []

    def recording(kept: frozenset[str]) -> Verdict:
        asked.append(kept)
        return problem.is_satisfiable(kept)

    preferred_clash(problem.order, recording)

    assert len(asked) == len(set(asked))
