from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.explain.algorithms import Oracle, Verdict, remembering
from tests.solver.explain.algorithms.problems import Problem, counting, doubted_problems, subsets


@pytest.mark.parametrize("verdict", Verdict)
def test_a_verdict_has_no_truth_value(verdict: Verdict) -> None:
    with pytest.raises(TypeError, match="compare a Verdict with `is`"):
        bool(verdict)


@given(doubted_problems(), st.randoms(use_true_random=False))
def test_remembering_changes_no_answer(doubted: tuple[Problem, Oracle[str]], random: Random) -> None:
    """What follows from earlier answers is the truth; what does not is the oracle's own answer."""
    problem, oracle = doubted
    remembered = remembering(oracle)
    questions = [frozenset(kept) for kept in subsets(problem.order)]
    random.shuffle(questions)

    for kept in questions:
        assert remembered(kept) in {oracle(kept), problem.is_satisfiable(kept)}


def test_remembering_does_not_ask_what_follows() -> None:
    problem = Problem(("a", "b", "c"), (frozenset("ab"), frozenset("c")))
    oracle, questions = counting(problem.is_satisfiable)
    remembered = remembering(oracle)
    remembered(frozenset("ab"))
    remembered(frozenset("bc"))

    assert Verdict.YES is remembered(frozenset("a"))
    assert Verdict.NO is remembered(frozenset("abc"))
    assert questions() == 2


def test_remembering_asks_again_after_undecided() -> None:
    answers = iter([Verdict.UNDECIDED, Verdict.NO])
    remembered = remembering(lambda _kept: next(answers))

    assert Verdict.UNDECIDED is remembered(frozenset("a"))
    assert Verdict.NO is remembered(frozenset("a"))
