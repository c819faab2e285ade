"""Every mix of a small case with the rules that it breaks, by plain enumeration: no CP-SAT, no cuts, no pruning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain, combinations, product
from typing import NamedTuple

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Rule
from solver.mechanics.option import Option


class Broken(NamedTuple):
    """A mix, its cost now and over the years (minor units, high ends) and the rules that it breaks."""

    options: tuple[Option, ...]
    cost: int
    rules: frozenset[Rule]
    years: int


def every_mix(problem: Problem, rules: Iterable[Rule]) -> Iterator[Broken]:
    """All mixes with the bar either on or off, each with what it breaks of `rules`."""
    rules, mechanics = tuple(rules), Mechanics(problem)
    for picked in product(*([None, *problem.options_at(site)] for site in problem.site_ids)):
        options = [option for option in picked if option is not None]
        if len({option.candidate.takes_bar_off for option in options}) <= 1:
            mix = assess(problem, mechanics, options)
            broken = frozenset(rule for rule in rules if not rule.kept(mix))
            yield Broken(mix.options, mix.cost.high, broken, mix.cost_years.high)


def subsets(rules: Iterable[Rule]) -> Iterator[frozenset[Rule]]:
    """All subsets, small ones first."""
    rules = tuple(rules)
    sized = (combinations(rules, size) for size in range(len(rules) + 1))
    return (frozenset(each) for each in chain.from_iterable(sized))


def minimal(sets: Iterable[frozenset[Rule]]) -> set[frozenset[Rule]]:
    """Those that contain no other."""
    found: set[frozenset[Rule]] = set()
    for each in sorted(sets, key=len):
        if not any(smaller <= each for smaller in found):
            found.add(each)
    return found
