"""What makes one mix better than another, as one whole number: the sum of a weight for every option and charge."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from solver.candidate import Candidate
from solver.option import Option
from solver.problem import Least, Problem


@dataclass(frozen=True, slots=True)
class Ranking:
    """Weights of the options in their order, and of what is paid once a case; less is better.

    Weights that differ by less than `order` rank equal mixes by the order of their options.
    """

    options: tuple[int, ...]
    charges: Mapping[str, int]
    order: int

    def of(self, picked: Iterable[int], charges: Iterable[str]) -> int:
        """Weight of a mix."""
        return sum(self.options[i] for i in picked) + sum(self.charges[name] for name in charges)


def best_first(problem: Problem, options: Sequence[Option], least: Least = "now") -> Ranking:
    """Least cost, then fewest open questions, then fewest parts, then the order of the options at each site."""
    at: dict[str, list[Candidate]] = {}
    terms = []
    for option in options:
        candidate, here = option.candidate, at.setdefault(option.site, [])
        here.append(candidate)
        terms.append((_cost(problem, candidate, least), len(candidate.questions), candidate.parts, len(here)))
    # No mix has as many of each kind as these, so a unit of one outweighs all of the next.
    part = 1 + len(terms)
    question = part * (1 + sum(max(candidate.parts for candidate in here) for here in at.values()))
    cent = question * (1 + sum(max(len(candidate.questions) for candidate in here) for here in at.values()))
    weights = tuple(
        cost * cent + questions * question + parts * part + rank for cost, questions, parts, rank in terms
    )
    return Ranking(weights, {name: cost.high * cent for name, cost in problem.charges.items()}, part)


def _cost(problem: Problem, candidate: Candidate, least: Least) -> int:
    """High end, minor units; what every mix pays is left out."""
    later = problem.upkeep_of(candidate).high if least == "years" else 0
    return candidate.cost.high + later
