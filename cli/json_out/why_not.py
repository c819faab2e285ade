"""Options against the plan, for machines. Money in minor units, forces in N."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cli.json_out import answer as json_answer
from solver.choose.plan import Answer
from solver.explain.comparison import Obstacle, SiteWhy, WhyNot


def sites(answer: Answer, found: Sequence[SiteWhy]) -> dict[str, Any]:
    """The plan's status and cost, and the fate of everything at these sites."""
    best = answer.best
    whole: dict[str, Any] = {"status": answer.status.value, "cost_high": best.cost.high if best else None}
    whole |= {"least": answer.least, "paid_high": best.paid(answer.least).high if best else None}
    return whole | {"sites": {site.fit.site.id: _site(answer, site) for site in found}}


def _site(answer: Answer, found: SiteWhy) -> dict[str, Any]:
    return {
        "in_plan": json_answer.candidate(found.planned) if found.planned else None,
        "otherwise": why_not(answer, found.otherwise) if found.otherwise else None,
        "attachments": [why_not(answer, entry) for entry in found.entries],
    }


def why_not(answer: Answer, found: WhyNot) -> dict[str, Any]:
    """One fate; `more` and `instead` where a plan with it exists, `clash` where no plan keeps every rule."""
    problem, instead = answer.problem, found.instead
    whole: dict[str, Any] = {
        "candidate": json_answer.candidate(found.candidate) if found.candidate else None,
        "fate": found.fate.value,
        "more": found.more if instead else None,
        "instead": None,
        "clash": [rule.code for rule in found.clash.members] if found.clash else None,
        "clash_proved_smallest": found.clash.proved_minimal if found.clash else None,
        "obstacles": [_obstacle(obstacle) for obstacle in found.obstacles],
        "ruled_out": json_answer.ruled_out(found.ruled_out, problem.catalogue) if found.ruled_out else [],
    }
    if instead:
        whole["instead"] = {
            "mix": {c.site.id: json_answer.candidate(c) for c in instead.mix},
            "cost": {"low": instead.cost.low, "high": instead.cost.high},
            "cost_years": {"low": instead.aftercare.cost.low, "high": instead.aftercare.cost.high},
            "relaxations": [json_answer.relaxation(problem, entry) for entry in instead.given_up],
        }
    return whole


def _obstacle(found: Obstacle) -> dict[str, Any]:
    return {
        "rule": found.rule.code if found.rule else "bar",
        "among": [candidate.site.id for candidate in found.among],
        "have": round(found.have, 6),
    }
