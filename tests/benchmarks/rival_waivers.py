"""What may be given up, by a CPMpy model in whole numbers: its smallest correction set, again and again.

Its enumeration of all correction sets (`marco`) did not end within a minute on the smallest of these cases. Each set
is yielded as it is found, since the proof that there are no more may not end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import cpmpy as cp
from cpmpy.tools.explain import mcs_opt

from solver.assess.problem import Problem
from solver.case.rules import Budget, Held, LevelPull, Moves, NeedHolds, NotAllowed, Rule
from solver.choose.millinewtons import at_least, force
from solver.explain.rule_switches import soft_rules
from tests.benchmarks.rivals import (
    FAR_MM,
    GRAIN,
    STEPS_PER_MM,
    Question,
    Row,
    demand_rows,
    question_of,
    whole_limits,
)


def correction_sets(problem: Problem, most: int = 3) -> Iterator[frozenset[Rule]]:
    """Every smallest set of at most `most` rules to give up."""
    question = question_of(problem, problem.options)
    kept = {rule: cp.boolvar(name=rule.code) for rule in soft_rules(problem)}
    pick = cp.boolvar(shape=len(question.options))
    used = cp.boolvar(shape=len(question.ways))
    hard: list[Any] = [cp.sum(pick[list(indices)]) <= 1 for indices in question.sites]
    hard += [cp.sum(pick[list(way.indices)]) == on for way, on in zip(question.ways, used, strict=True)]
    for x, option in zip(pick, question.options, strict=True):
        hard += [x.implies(~kept[rule]) for rule in option.needs_waived]
    for rule in problem.rules:
        hard += list(_posted(question, rule, kept, pick, used))
    while cp.Model(hard).solve():
        members = mcs_opt(list(kept.values()), hard)
        if len(members) > most:
            return
        names = {literal.name for literal in members}
        yield frozenset(rule for rule in kept if rule.code in names)
        hard.append(cp.any(members))


def _posted(question: Question, rule: Rule, kept: dict[Rule, Any], pick: Any, used: Any) -> Iterator[Any]:
    """A rule as constraints, in force where its literal is true; physics has no literal."""
    candidates = [option.candidate for option in question.options]
    match rule:
        case Budget():
            yield kept[rule].implies(cp.sum(pick * [c.cost.high for c in candidates]) <= rule.cap)
        case LevelPull():
            yield kept[rule].implies(cp.sum(pick * [force(c.low_n) for c in candidates]) >= at_least(rule.least_n))
        case Held():
            yield cp.any(literal for literal, candidate in zip(pick, candidates, strict=True) if candidate.low_n > 0)
        case Moves():
            far = round(FAR_MM * STEPS_PER_MM)
            twist = cp.intvar(-far, far, shape=6)
            limits = [each for row in demand_rows(question.problem, rule) for each in _limits(twist, row)]
            yield kept[rule].implies(cp.all(limits)) if rule in kept else cp.all(limits)
            for way, on in zip(question.ways, used, strict=True):
                # A part bounds the motion of a demand only while the demand is asked for.
                asked = on & kept[rule] if rule in kept else on
                yield from (asked.implies(each) for row in way.rows for each in _limits(twist, row))
        case NotAllowed() | NeedHolds():
            pass  # these stand in every option
        case _:
            raise NotImplementedError(rule.code)


def _limits(twist: Sequence[Any], row: Row) -> Iterator[Any]:
    low, high = whole_limits(row)
    value = cp.sum([factor * z for factor, z in zip((round(float(f) * GRAIN) for f in row.of), twist, strict=True)])
    yield value >= low
    yield value <= high
