"""What if, for machines."""

from __future__ import annotations

from typing import Any

from cli.json_out import answer as json_answer
from solver.choose.plan import Answer
from solver.explore.what_if import Decision, Sweep, Varied, decision_of


def varied(found: Varied) -> dict[str, Any]:
    """Both plans and whether the decision is another."""
    return {"flips": found.flips, "before": _answer(found.before), "after": _answer(found.after)}


def swept(found: Sweep) -> dict[str, Any]:
    """Every value with its plan, and the flips; values as text, so that no digit is lost."""
    return {
        "path": found.span.path,
        "error": str(found.span.error) if found.span.error is not None else None,
        "tolerance": str(found.grain),
        "points": [{"value": str(p.value)} | _answer(p.answer) for p in found.points],
        "flips": [
            {
                "low": str(flip.low),
                "high": str(flip.high),
                "before": decision(flip.before),
                "after": decision(flip.after),
            }
            for flip in found.flips
        ],
    }


def _answer(answer: Answer) -> dict[str, Any]:
    whole: dict[str, Any] = decision(decision_of(answer))
    return whole | {"plan": json_answer.plan(answer.problem, answer.best) if answer.best else None}


def decision(found: Decision) -> dict[str, Any]:
    """Status, what goes where, and what is given up."""
    return {"status": found.status.value, "mix": list(found.mix), "gives_up": list(found.given_up)}
