"""What a choice hangs on, for machines."""

from __future__ import annotations

from typing import Any

from cli.wording import sensitivity as words
from solver.assess.problem import Problem
from solver.explore.sensitivity import Flip, Sensitivity, Turn


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
    other = flip.instead
    return {
        "status": flip.status.value,
        "mix": {candidate.site.id: candidate.label for candidate in other.mix} if other else None,
        "cost": {"low": other.cost.low, "high": other.cost.high} if other else None,
        "cost_is_at_best": flip.at_best,
        "relaxations": [entry.rule.code for entry in other.given_up] if other else [],
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
