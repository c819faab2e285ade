"""What differs between two catalogues, for machines."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalogue.difference import Changed, Difference, Figure
from cli.json_out.vary import decision
from solver.case.money import Cost
from solver.choose.plan import Answer
from solver.explore.what_if import Varied, decision_of


def difference(found: Difference) -> dict[str, Any]:
    """Entries added and gone, figures changed; a band is [low, high]."""
    return {
        "added": list(found.added),
        "gone": list(found.gone),
        "changed": [_changed(changed) for changed in found.changed],
    }


def cases(found: Mapping[str, Varied], altered: Mapping[str, bool]) -> list[dict[str, Any]]:
    """Each case with its plan under both catalogues."""
    return [
        {"case": name, "altered": altered[name], "before": _plan(both.before), "after": _plan(both.after)}
        for name, both in found.items()
    ]


def _changed(changed: Changed) -> dict[str, Any]:
    return {
        "entry": changed.entry,
        "figure": changed.figure,
        "before": _figure(changed.before),
        "after": _figure(changed.after),
        "unit": changed.unit or None,
    }


def _figure(figure: Figure | None) -> dict[str, Any] | None:
    if figure is None:
        return None
    value = list(figure.value) if isinstance(figure.value, tuple) else figure.value
    return {"value": value, "source": figure.source or None}


def _plan(answer: Answer) -> dict[str, Any]:
    purse, money = answer.problem.purse, answer.problem.case.money
    best = answer.best
    return decision(decision_of(answer)) | {
        "cost": _cost(best.cost, purse.digits, money.currency) if best else None,
    }


def _cost(cost: Cost, digits: int, currency: str) -> dict[str, Any]:
    return {"low": cost.low, "high": cost.high, "currency": currency, "digits": digits}
