"""The random problems are worth testing on: some have several clashes of more than one member."""

from __future__ import annotations

import pytest
from hypothesis import find, settings
from hypothesis.strategies import SearchStrategy

from tests.solver.explain.algorithms.problems import Problem, budget_problems, cnf_problems

SEARCH = settings(database=None, derandomize=True, max_examples=2000)


@pytest.mark.parametrize("strategy", [cnf_problems(), budget_problems()], ids=["cnf", "budget"])
def test_some_have_overlapping_clashes(strategy: SearchStrategy[Problem]) -> None:
    found = find(
        strategy,
        lambda problem: len(problem.clashes()) > 1 and min(map(len, problem.clashes())) > 1,
        settings=SEARCH,
    )

    assert len(found.waiver_sets()) > 1


@pytest.mark.parametrize("strategy", [cnf_problems(), budget_problems()], ids=["cnf", "budget"])
def test_some_are_satisfiable(strategy: SearchStrategy[Problem]) -> None:
    found = find(strategy, lambda problem: not problem.clashes(), settings=SEARCH)

    assert {()} == found.waiver_sets()
