"""The trade-off for machines: money in minor units, forces in N."""

from __future__ import annotations

from typing import Any

from cli.json_out import answer as json_answer
from solver.explore.tradeoff import Front


def front(found: Front) -> dict[str, Any]:
    """The points in order, the index of the knee, and whether it is proved that none is missing."""
    first, second = found.axes
    return {
        "between": [first.name, second.name],
        "currency": found.problem.case.money.currency,
        "complete": found.complete,
        "knee": found.knee,
        "points": [
            {first.name: p.first, second.name: p.second, "plan": json_answer.plan(found.problem, p.plan)}
            for p in found.points
        ],
    }
