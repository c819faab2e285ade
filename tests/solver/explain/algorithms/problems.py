"""Small random problems with monotone oracles, and their clashes and waiver sets by trying every subset."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations, product

from hypothesis import strategies as st

from solver.explain.algorithms import Oracle, Verdict


@dataclass(frozen=True, slots=True)
class Problem:
    """Constraints, and for each possible state of the world the set of those that hold in it."""

    order: tuple[str, ...]
    worlds: tuple[frozenset[str], ...]

    def is_satisfiable(self, kept: frozenset[str]) -> Verdict:
        return Verdict.YES if any(kept <= world for world in self.worlds) else Verdict.NO

    def clashes(self) -> set[tuple[str, ...]]:
        """By definition: unsatisfiable, and every part of it is satisfiable."""
        return {
            kept
            for kept in subsets(self.order)
            if self._answers(kept, Verdict.NO)
            and all(self._answers(part, Verdict.YES) for part in subsets(kept) if part != kept)
        }

    def waiver_sets(self) -> set[tuple[str, ...]]:
        """By definition: the rest is satisfiable, and is not if only a part is dropped."""
        return {
            dropped
            for dropped in subsets(self.order)
            if self._corrects(dropped)
            and not any(self._corrects(part) for part in subsets(dropped) if part != dropped)
        }

    def _corrects(self, dropped: tuple[str, ...]) -> bool:
        return self._answers(tuple(set(self.order) - set(dropped)), Verdict.YES)

    def _answers(self, kept: tuple[str, ...], verdict: Verdict) -> bool:
        return self.is_satisfiable(frozenset(kept)) is verdict


def subsets(members: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    for size in range(len(members) + 1):
        yield from combinations(members, size)


@st.composite
def cnf_problems(draw: st.DrawFn) -> Problem:
    """Up to seven soft clauses and two hard ones over three variables; (2, False) reads "not x2"."""
    literals = st.tuples(st.integers(0, 2), st.booleans())
    clauses = st.frozensets(literals, min_size=1, max_size=3)
    soft = draw(st.lists(clauses, min_size=1, max_size=7))
    hard = draw(st.lists(clauses, max_size=2))

    def holds(clause: frozenset[tuple[int, bool]], assignment: tuple[bool, ...]) -> bool:
        return any(assignment[variable] is sign for variable, sign in clause)

    worlds = [
        frozenset(f"clause{place}" for place, clause in enumerate(soft) if holds(clause, assignment))
        for assignment in product((False, True), repeat=3)
        if all(holds(clause, assignment) for clause in hard)
    ]
    return Problem(tuple(f"clause{place}" for place in range(len(soft))), tuple(worlds))


@st.composite
def budget_problems(draw: st.DrawFn) -> Problem:
    """Options with a price, a budget that can be waived, and pairs that exclude each other for good."""
    prices = draw(st.lists(st.integers(0, 9), min_size=1, max_size=5))
    budget = draw(st.integers(0, 20))
    pairs = list(combinations(range(len(prices)), 2))
    excluded = draw(st.sets(st.sampled_from(pairs), max_size=3)) if pairs else set()
    worlds = []
    for taken in product((False, True), repeat=len(prices)):
        if any(taken[one] and taken[other] for one, other in excluded):
            continue
        options = frozenset(f"option{place}" for place, is_taken in enumerate(taken) if is_taken)
        spent = sum(price for price, is_taken in zip(prices, taken, strict=True) if is_taken)
        worlds.append(options | {"budget"} if spent <= budget else options)
    return Problem(("budget", *(f"option{place}" for place in range(len(prices)))), tuple(worlds))


def problems() -> st.SearchStrategy[Problem]:
    return cnf_problems() | budget_problems()


@st.composite
def weighted_problems(draw: st.DrawFn) -> tuple[Problem, dict[str, int]]:
    problem = draw(problems())
    return problem, {member: draw(st.integers(1, 4)) for member in problem.order}


@st.composite
def doubted_problems(draw: st.DrawFn) -> tuple[Problem, Oracle[str]]:
    """A problem, and its oracle with UNDECIDED in place of some answers."""
    problem = draw(problems())
    doubted = draw(st.sets(st.frozensets(st.sampled_from(problem.order)), max_size=12))
    return problem, lambda kept: Verdict.UNDECIDED if kept in doubted else problem.is_satisfiable(kept)


def counting(oracle: Oracle[str]) -> tuple[Oracle[str], Callable[[], int]]:
    """The oracle, and the number of questions it has been asked."""
    asked: list[frozenset[str]] = []

    def ask(kept: frozenset[str]) -> Verdict:
        asked.append(kept)
        return oracle(kept)

    return ask, lambda: len(asked)
