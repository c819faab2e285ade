"""The answer to a small problem by trying every mix: no CP-SAT, no cuts, no pruning, no bound.

What a mix is comes from `Assessment`; which of them is best is said here once more, as plainly as it can be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import product

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rules import Preference, Rule, waivable


def every_mix(problem: Problem, mechanics: Mechanics | None = None) -> Iterator[Assessment]:
    """All mixes with the bar either on or off, nothing fitted among them."""
    known = mechanics or Mechanics(problem)
    for picked in product(*([None, *problem.options_at(site)] for site in problem.site_ids)):
        options = [option for option in picked if option is not None]
        if len({option.candidate.takes_bar_off for option in options}) <= 1:
            yield assess(problem, known, options)


def count(problem: Problem) -> int:
    """How many mixes there are at most."""
    total = 1
    for site in problem.site_ids:
        total *= 1 + len(problem.options_at(site))
    return total


def keeping_all(problem: Problem, every: Iterable[Assessment]) -> list[Assessment]:
    """Those that keep every rule, of options that need nothing waived."""
    free = (mix for mix in every if not any(option.needs_waived for option in mix.options))
    return [mix for mix in free if all(rule.kept(mix) for rule in problem.rules)]


def rank(mix: Assessment, least: Least = "now") -> tuple[int, int, int]:
    """Cost, questions, parts: what makes one mix better than another."""
    questions = {question for candidate in mix.mix for question in candidate.questions}
    return mix.paid(least).high, len(questions), sum(candidate.parts for candidate in mix.mix)


def on_terms(mix: Assessment, least: Least = "now") -> Fraction:
    """The cost, as if a mix that goes without a preference had to give back what it must save for that."""
    dear = Fraction(mix.paid(least).high)
    for preference in without(mix):
        dear /= 1 - Fraction(str(preference.saves))
    return dear


def without(mix: Assessment) -> frozenset[Preference]:
    """The preferences that a mix does not keep."""
    return frozenset(preference for preference in mix.problem.preferences if not preference.kept(mix))


def is_best(found: Assessment, every: Sequence[Assessment], least: Least = "now") -> bool:
    """True where none is cheaper on its terms, and none on the terms of this one ranks before it."""
    rivals = [mix for mix in every if without(mix) <= without(found)]
    cheapest = min(on_terms(mix, least) for mix in every)
    return on_terms(found, least) == cheapest and rank(found, least) == min(rank(mix, least) for mix in rivals)


def given_up(mix: Assessment, also: Iterable[Rule] = ()) -> list[Rule]:
    """What a mix breaks of its problem, of its options' needs and of these rules."""
    needed = (rule for option in mix.options for rule in option.needs_waived)
    return [rule for rule in dict.fromkeys((*mix.problem.rules, *also, *needed)) if not rule.kept(mix)]


def weight(mix: Assessment) -> int | None:
    """What a mix gives up weighs, the promise of a stopgap counted too; None where it breaks what nobody may."""
    broken = given_up(mix, mix.problem.stopgap)
    return None if any(not waivable(rule) for rule in broken) else sum(mix.missed(rule).weight for rule in broken)


def giving_up_least(every: Iterable[Assessment]) -> tuple[int | None, list[Assessment]]:
    """The least weight that any mix gives up, and the mixes that give up no more."""
    weighed = [(heavy, mix) for mix in every if (heavy := weight(mix)) is not None]
    least = min((heavy for heavy, _ in weighed), default=None)
    return least, [mix for heavy, mix in weighed if heavy == least]
