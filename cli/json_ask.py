"""What to ask, for machines. Money in minor units."""

from __future__ import annotations

from typing import Any

from cli import json_answer
from solver.ask import Ask, Asked
from solver.assessment import Assessment


def ask(found: Ask) -> dict[str, Any]:
    """Plans by the number of answers they hang on, and the questions in the order in which to ask."""
    return {
        "outcome": found.outcome.value,
        "least": found.least,
        "curve": [_plan(plan) for plan in found.curve],
        "ask": [_asked(found, entry) for entry in found.asked],
        "not_worth_asking": [json_answer.question(question) for question in found.idle],
    }


def _asked(found: Ask, entry: Asked) -> dict[str, Any]:
    return json_answer.question(entry.question) | {
        "needs": [json_answer.judgement(need, found.problem.catalogue) for need in entry.needs],
        "chance": round(entry.chance, 6),
        "saving": round(entry.saving, 2),
        "rescue": round(entry.rescue, 6),
        "well": _plan(entry.well) if entry.well else None,
        "badly": _plan(entry.badly) if entry.badly else None,
    }


def _plan(plan: Assessment) -> dict[str, Any]:
    return {
        "answers": len(plan.questions),
        "questions": [json_answer.question(q) for q in plan.questions],
        "cost": {"low": plan.cost.low, "high": plan.cost.high},
        "cost_years": {"low": plan.aftercare.cost.low, "high": plan.aftercare.cost.high},
        "mix": {c.site.id: json_answer.candidate(c) for c in plan.mix},
    }
