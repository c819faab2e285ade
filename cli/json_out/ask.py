"""What to ask, for machines. Money in minor units."""

from __future__ import annotations

from math import isfinite
from typing import Any

from cli.json_out import answer as json_answer
from solver.assess.assessment import Assessment
from solver.case.measure import Measure
from solver.explore.questions import Ask, Asked
from solver.explore.reply import Reply


def ask(found: Ask) -> dict[str, Any]:
    """Plans by the number of answers they hang on, and the questions in the order in which to ask."""
    return {
        "outcome": found.outcome.value,
        "least": found.least,
        "curve": [_plan(plan) for plan in found.curve],
        "ask": [_asked(found, entry) for entry in found.asked],
        "later": [json_answer.question(question) for question in found.later],
        "not_worth_asking": [json_answer.question(question) for question in found.idle],
    }


def _asked(found: Ask, entry: Asked) -> dict[str, Any]:
    return json_answer.question(entry.question) | {
        "needs": [json_answer.judgement(need, found.problem.catalogue) for need in entry.needs],
        "chance": round(entry.chance, 6),
        "costs_more": int(stake) if isfinite(stake := entry.stake(found.least)) else None,
        "well": _reply(entry.well),
        "badly": _reply(entry.badly) if entry.badly else None,
    }


def _reply(found: Reply) -> dict[str, Any]:
    """What an answer leads to; `from` and `to` are null where the answers that are meant have no end."""
    value, extent = found.value, found.extent
    return {
        "answer": value.value if isinstance(value, Measure) else value,
        "from": extent.low if extent and isfinite(extent.low) else None,
        "from_included": extent.low_included if extent and isfinite(extent.low) else None,
        "to": extent.high if extent and isfinite(extent.high) else None,
        "to_included": extent.high_included if extent and isfinite(extent.high) else None,
        "plan": _plan(found.plan) if found.plan else None,
        "certain": _plan(found.certain) if found.certain else None,
    }


def _plan(plan: Assessment) -> dict[str, Any]:
    return {
        "answers": len(plan.questions),
        "questions": [json_answer.question(q) for q in plan.questions],
        "cost": {"low": plan.cost.low, "high": plan.cost.high},
        "cost_years": {"low": plan.aftercare.cost.low, "high": plan.aftercare.cost.high},
        "mix": {c.site.id: json_answer.candidate(c) for c in plan.mix},
    }
