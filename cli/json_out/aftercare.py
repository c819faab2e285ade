"""The years after fitting, for machines. Months count from fitting; forces in N, money in minor units."""

from __future__ import annotations

from typing import Any

from solver.assess.years import Aftercare
from solver.case.money import Cost


def aftercare(found: Aftercare) -> dict[str, Any]:
    """Hold where nothing is renewed at fitting and year by year, renewals, visits, and the cost of all of it."""
    soonest, latest = found.under_floor
    return {
        "years": found.years,
        "insertions_per_day": {
            "low": found.insertions_per_day.low,
            "high": found.insertions_per_day.high,
            "assumed": found.assumed,
        },
        "hold": [
            {"month": held.month, "low_n": round(held.low_n, 3), "high_n": round(held.high_n, 3)}
            for held in found.yearly
        ],
        "floor_n": found.floor_n,
        "months_to_floor": {"soonest": soonest, "latest": latest},
        "least_if_renewed_n": {"sooner": round(found.renewed_n[0], 3), "later": round(found.renewed_n[1], 3)},
        "wear_unknown": list(found.unknown),
        "renewals": [
            {"site": due.site, "what": due.what, "times": _band(*due.times), "cost": _money(due.cost)}
            for due in found.renewals
        ],
        "denture": [
            {"what": due.what, "times": _band(*due.times), "cost": _money(due.cost)} for due in found.denture
        ],
        "visits": {"times": _band(*found.visits), "cost": _money(found.visits_cost)},
        "cost": _money(found.cost),
    }


def _band(low: float, high: float) -> dict[str, float]:
    return {"low": low, "high": high}


def _money(cost: Cost) -> dict[str, float]:
    return _band(cost.low, cost.high)
