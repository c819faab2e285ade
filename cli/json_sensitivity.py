"""What a choice hangs on, for machines."""

from __future__ import annotations

from typing import Any

from cli.text import sensitivity as words
from solver.problem import Problem
from solver.sensitivity import Flip, Sensitivity, Turn


def sensitivity(found: Sensitivity, problem: Problem) -> dict[str, Any]:
    """Every other choice with all figures that lead to it, each alone."""
    return {
        "figures": found.figures,
        "searches": found.solved,
        "complete": found.complete,
        "hangs_on": {kind: len(found.hangs_on(kind)) for kind in ("invented", "memory")},
        "would_change": [_flip(flip, problem) for flip in found.flips],
    }


def _flip(flip: Flip, problem: Problem) -> dict[str, Any]:
    plan = flip.plan
    return {
        "status": flip.status.value,
        "mix": {candidate.site.id: candidate.label for candidate in plan.mix} if plan else None,
        "cost": {"low": plan.cost.low, "high": plan.cost.high} if plan else None,
        "relaxations": [entry.rule.code for entry in plan.given_up] if plan else [],
        "if": [_turn(turn, problem) for turn in flip.turns],
    }


def _turn(turn: Turn, problem: Problem) -> dict[str, Any]:
    figure = turn.figure
    return {
        "figure": words.figure(figure, problem.catalogue),
        "path": list(figure.path),
        "value": round(turn.value, 6),
        "unit": words.unit(figure, problem.catalogue),
        "given": {"low": figure.given[0], "high": figure.given[1]},
        "banded": figure.banded,
        "source": figure.source,
        "source_kind": figure.kind,
    }
