"""What makes one mix better than another, as one whole number: the sum of a weight for every option and charge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from solver.candidate import Candidate
from solver.problem import Least, Option, Problem


@dataclass(frozen=True, slots=True)
class Ranking:
    """Weights of the options in their order, and of what is paid once a case; less is better."""

    options: tuple[int, ...]
    charges: Mapping[str, int]

    def of(self, picked: Iterable[int], charges: Iterable[str]) -> int:
        """Weight of a mix."""
        return sum(self.options[i] for i in picked) + sum(self.charges[name] for name in charges)


def best_first(problem: Problem, options: Sequence[Option], least: Least = "now") -> Ranking:
    """Least cost, then fewest open questions, then fewest parts, then the order of the options at each site."""
    terms, parts_at, questions_at, many_at = [], Counter[str](), Counter[str](), Counter[str]()
    for option in options:
        site, candidate = option.site, option.candidate
        parts, questions = candidate.parts, len(candidate.questions)
        many_at[site] += 1
        parts_at[site], questions_at[site] = max(parts_at[site], parts), max(questions_at[site], questions)
        terms.append((_cost(problem, candidate, least), questions, parts, many_at[site]))
    # No mix has as many of each kind as these, so a unit of one outweighs all of the next.
    part = many_at.total() + 1
    question = part * (1 + parts_at.total())
    cent = question * (1 + questions_at.total())
    weights = tuple(
        cost * cent + questions * question + parts * part + rank for cost, questions, parts, rank in terms
    )
    return Ranking(weights, {name: cost.high * cent for name, cost in problem.charges.items()})


def _cost(problem: Problem, candidate: Candidate, least: Least) -> int:
    """High end, minor units; what every mix pays is left out."""
    later = problem.upkeep_of(candidate).high if least == "years" else 0
    return candidate.cost.high + later
