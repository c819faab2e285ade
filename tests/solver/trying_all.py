"""Small random cases with all their mixes, for tests of what a search says: nothing is searched here."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import cache

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem, problem_of
from solver.case.rules import Rule
from solver.explain.rule_switches import hard_rules, soft_rules
from tests.referee.every_mix import Broken, every_mix
from tests.referee.random_case import random_world, with_pulls, with_service

WITH_PULLS, WITH_SERVICE = 1000, 2000
"""Added to a seed: the same case with pulls asked for, or with parts that are renewed."""

FIT = (2, 3, 34, 4, 102, 1009, 1022, 1034, 1004, 1069, 2015, 2033, 2120, 2040, 2059)
"""Seeds of which some mix keeps every rule: 2, 2015 and 2033 after one that binds; 3, 102, 1004 after more."""

GIVE = (0, 7, 13, 20, 42, 55, 59, 103, 107, 112, 1036, 1068, 1072)
"""Seeds of which none does, for want of hold, money, cover, pull or movement."""


@cache
def problem(seed: int) -> Problem:
    """The case of a seed, prepared."""
    kind, seed = divmod(seed, 1000)
    world = random_world(seed)
    return problem_of(*(world, with_pulls(world, seed), with_service(world, seed))[kind])


@cache
def mixes(seed: int) -> tuple[Broken, ...]:
    """Every mix of it with the rules that it breaks."""
    made = problem(seed)
    return tuple(every_mix(made, (*soft_rules(made), *hard_rules(made))))


def keeping(seed: int, but: Iterable[Rule] = ()) -> list[Broken]:
    """The mixes that break no rule but these."""
    given_up = frozenset(but)
    return [mix for mix in mixes(seed) if mix.rules <= given_up]


@cache
def standing(seed: int) -> tuple[Assessment, ...]:
    """The mixes that break no rule, of options that need no waiver."""
    asked, found = problem(seed), keeping(seed)
    mechanics = Mechanics(asked)
    free = (mix.options for mix in found if not any(option.needs_waived for option in mix.options))
    return tuple(assess(asked, mechanics, options) for options in free)


def takes(mix: Broken, require: Iterable[Collection[str]] = (), forbid: Collection[str] = ()) -> bool:
    """True where a mix has one candidate of each set and none of the others."""
    keys = {option.candidate.key for option in mix.options}
    return keys.isdisjoint(forbid) and all(not keys.isdisjoint(each) for each in require)


def rank(mix: Broken, least: Least = "now") -> tuple[int, int, int]:
    """Cost (high end), questions, parts: what makes one mix better than another."""
    candidates = [option.candidate for option in mix.options]
    cost = mix.cost if least == "now" else mix.years
    return cost, len({question for c in candidates for question in c.questions}), sum(c.parts for c in candidates)
