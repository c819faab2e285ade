from __future__ import annotations

import os
import subprocess
import sys
from itertools import islice

from hypothesis import given
from hypothesis import strategies as st

from solver.explain.algorithms import (
    Clash,
    Ending,
    Oracle,
    Verdict,
    WaiverSet,
    all_clashes,
    explanations,
    minimal_hitting_sets,
    waiver_sets,
)
from tests.solver.explain.algorithms.problems import Problem, doubted_problems, problems, weighted_problems

NOTHING_HOLDS = Problem(("a", "b"), ())
ALL_HOLDS = Problem(("a", "b"), (frozenset("ab"),))


@given(problems())
def test_lists_every_clash_and_every_waiver_set_once(problem: Problem) -> None:
    listing = explanations(problem.order, problem.is_satisfiable)
    found = list(listing)
    clashes = [each.members for each in found if isinstance(each, Clash)]
    waived = [each.members for each in found if isinstance(each, WaiverSet)]

    assert sorted(problem.clashes()) == sorted(clashes)
    assert sorted(problem.waiver_sets()) == sorted(waived)
    assert all(each.proved_minimal for each in found if isinstance(each, Clash))
    assert Ending.COMPLETE is listing.ending


@given(problems())
def test_each_kind_is_the_minimal_hitting_sets_of_the_other(problem: Problem) -> None:
    clashes = [each.members for each in all_clashes(problem.order, problem.is_satisfiable)]
    waived = [each.members for each in waiver_sets(problem.order, problem.is_satisfiable)]

    assert set(waived) == set(minimal_hitting_sets(clashes, problem.order))
    assert set(clashes) == set(minimal_hitting_sets(waived, problem.order))
    assert all(set(clash) & set(waiver) for clash in clashes for waiver in waived)


@given(problems())
def test_a_clash_comes_before_the_waiver_sets_it_calls_for(problem: Problem) -> None:
    """A waiver set is minimal on the strength of the clashes listed before it, without asking again."""
    clashes: list[tuple[str, ...]] = []
    for each in explanations(problem.order, problem.is_satisfiable):
        if isinstance(each, Clash):
            clashes.append(each.members)
        else:
            assert each.members in minimal_hitting_sets(clashes, problem.order)


@given(doubted_problems())
def test_what_is_listed_is_true_whatever_the_doubts(doubted: tuple[Problem, Oracle[str]]) -> None:
    problem, oracle = doubted
    listing = explanations(problem.order, oracle)
    found = list(listing)
    waived = [each.members for each in found if isinstance(each, WaiverSet)]

    assert len(waived) == len(set(waived))
    assert set(waived) <= problem.waiver_sets()
    for each in found:
        if isinstance(each, Clash):
            assert Verdict.NO is problem.is_satisfiable(frozenset(each.members))
            assert not each.proved_minimal or each.members in problem.clashes()
    if listing.ending is Ending.COMPLETE:
        assert set(waived) == problem.waiver_sets()
        assert {each.members for each in found if isinstance(each, Clash)} >= problem.clashes()


@given(weighted_problems(), st.integers(0, 20))
def test_stopping_early_leaves_the_same_beginning(weighted: tuple[Problem, dict[str, int]], count: int) -> None:
    problem, weights = weighted
    whole = list(explanations(problem.order, problem.is_satisfiable, weights=weights))
    listing = explanations(problem.order, problem.is_satisfiable, weights=weights)
    beginning = list(islice(listing, count))

    assert whole[:count] == beginning
    assert (Ending.STOPPED if count <= len(whole) else Ending.COMPLETE) is listing.ending


def test_what_always_holds_can_clash_by_itself() -> None:
    """Then nothing can be waived that would help, and the listing says so by being whole."""
    listing = explanations(NOTHING_HOLDS.order, NOTHING_HOLDS.is_satisfiable)

    assert [Clash((), proved_minimal=True)] == list(listing)
    assert Ending.COMPLETE is listing.ending


def test_nothing_need_be_waived_where_all_can_hold() -> None:
    listing = explanations(ALL_HOLDS.order, ALL_HOLDS.is_satisfiable)

    assert [WaiverSet((), weight=0)] == list(listing)
    assert Ending.COMPLETE is listing.ending


def test_a_silent_oracle_ends_undecided_with_nothing_listed() -> None:
    listing = all_clashes("ab", lambda _kept: Verdict.UNDECIDED)

    assert list(listing) == []
    assert Ending.UNDECIDED is listing.ending


def test_a_doubt_that_a_later_clash_settles_does_not_count() -> None:
    """Whether b, c and d can stay together is left open, until c and d alone are seen to clash."""
    problem = Problem(tuple("abcd"), tuple(map(frozenset, ("ac", "ad", "bc", "bd"))))

    def doubting(kept: frozenset[str]) -> Verdict:
        return Verdict.UNDECIDED if kept == frozenset("bcd") else problem.is_satisfiable(kept)

    listing = waiver_sets(problem.order, doubting)

    assert [tuple(pair) for pair in ("ac", "ad", "bc", "bd")] == [each.members for each in listing]
    assert Ending.COMPLETE is listing.ending


def test_a_larger_set_around_a_doubtful_one_is_not_called_minimal() -> None:
    """Of a, b, c any two clash. Is waiving a enough? Left open, so a and b together are not listed."""
    problem = Problem(tuple("abc"), tuple(map(frozenset, "abc")))

    def doubting(kept: frozenset[str]) -> Verdict:
        return Verdict.UNDECIDED if kept == frozenset("bc") else problem.is_satisfiable(kept)

    listing = waiver_sets(problem.order, doubting)

    assert [WaiverSet(("b", "c"), 2)] == list(listing)
    assert Ending.UNDECIDED is listing.ending


def test_reading_past_the_end_keeps_the_ending() -> None:
    listing = explanations(ALL_HOLDS.order, ALL_HOLDS.is_satisfiable)

    assert len(list(listing)) == 1
    assert list(listing) == []
    assert Ending.COMPLETE is listing.ending


SCRIPT = """
from solver.explain.algorithms import Verdict, explanations
words = "rest span gap room pull tilt".split()
pairs = [{"rest", "span"}, {"gap", "room"}, {"pull", "tilt"}, {"span", "room", "tilt"}]
oracle = lambda kept: Verdict.NO if any(pair <= kept for pair in pairs) else Verdict.YES
print(*explanations(words, oracle), sep="\\n")
"""


def test_the_same_input_gives_the_same_text_whatever_the_hash_seed() -> None:
    texts = {
        subprocess.run(
            [sys.executable, "-c", SCRIPT],
            env={**os.environ, "PYTHONHASHSEED": seed},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in ("1", "2", "3")
    }

    assert len(texts) == 1
    assert "WaiverSet(members=('rest', 'gap', 'tilt'), weight=3)" in texts.pop()
