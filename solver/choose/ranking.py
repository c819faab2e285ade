"""What makes one mix better than another, as one whole number: a weight for every option and what counts once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from solver.assess.problem import Least, Problem
from solver.fit.candidate import Candidate, Question
from solver.mechanics.option import Option

Once: TypeAlias = str | Question
"""What is paid or asked once, however many sites call for it: a charge by its name, a question that sites share."""


@dataclass(frozen=True, slots=True)
class Ranking:
    """Weights of the options in their order, and of what counts once; less is better.

    Weights that differ by less than `order` rank equal mixes by the order of their options; `cent` is what a minor
    unit weighs, more than all else together.
    """

    options: tuple[int, ...]
    once: Mapping[Once, int]
    order: int
    cent: int

    def of(self, mix: Iterable[tuple[int, Candidate]]) -> int:
        """Weight of a mix: its options by their place in the order, with their candidates."""
        picked = list(mix)
        called = {name for _, candidate in picked for name in self.called_for(candidate)}
        return sum(self.options[i] for i, _ in picked) + sum(self.once[name] for name in called)

    def called_for(self, candidate: Candidate) -> Iterator[Once]:
        """What counts once and goes with a candidate."""
        yield from candidate.charges
        yield from (question for question in candidate.questions if question in self.once)


def best_first(problem: Problem, options: Sequence[Option], least: Least = "now") -> Ranking:
    """Least cost, then fewest open questions, then fewest parts, then the order of the options at each site."""
    asking = Counter(q for q, _ in dict.fromkeys((q, o.site) for o in options for q in o.candidate.questions))
    shared = [question for question, sites in asking.items() if sites > 1]
    at: dict[str, list[tuple[int, int]]] = {}
    terms = []
    for option in options:
        candidate, here = option.candidate, at.setdefault(option.site, [])
        questions = sum(asking[question] == 1 for question in candidate.questions)
        here.append((questions, candidate.parts))
        terms.append((_cost(problem, candidate, least), questions, candidate.parts, len(here)))
    # No mix has as many of each kind as these, so a unit of one outweighs all of the next.
    part = 1 + len(terms)
    question = part * (1 + sum(max(parts for _, parts in here) for here in at.values()))
    cent = question * (1 + len(shared) + sum(max(questions for questions, _ in here) for here in at.values()))
    weights = tuple(
        cost * cent + questions * question + parts * part + rank for cost, questions, parts, rank in terms
    )
    once: dict[Once, int] = {name: cost.high * cent for name, cost in problem.charges.items()}
    once.update(dict.fromkeys(shared, question))
    return Ranking(weights, once, part, cent)


def _cost(problem: Problem, candidate: Candidate, least: Least) -> int:
    """High end, minor units; what every mix pays is left out."""
    later = problem.upkeep_of(candidate).high if least == "years" else 0
    return candidate.cost.high + later
