"""The ways out of a case for machines: money in minor units, forces in N."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cli.json_out import answer as json_answer
from cli.wording import words
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.explore.strategies import Strategy


def strategies(problem: Problem, found: Sequence[Strategy]) -> list[dict[str, Any]]:
    """One entry a way; `mix` is null where nothing is planned, `cost_years` where the upkeep is not known."""
    return [_strategy(problem, each) for each in found]


def _strategy(problem: Problem, each: Strategy) -> dict[str, Any]:
    plan = each.plan
    return {
        "way": each.way.value,
        "standing": each.standing.value,
        "cost": _cost(each.cost),
        "cost_years": _cost(each.cost_years),
        "currency": problem.case.money.currency,
        "hold": {"sum_low_n": round(plan.low_n, 3), "sum_high_n": round(plan.high_n, 3)} if plan else None,
        "reach": None if each.reach is None else round(each.reach, 6),
        "mix": {c.site.id: json_answer.candidate(c) for c in plan.mix} if plan else None,
        "needs": [json_answer.relaxation(problem, entry) for entry in each.needs],
        "against": [rule.code for rule in each.against],
        "cautions": [words.caution(caution) for caution in each.cautions],
    }


def _cost(cost: Cost | None) -> dict[str, int] | None:
    return None if cost is None else {"low": cost.low, "high": cost.high}
