"""Whether a mix keeps a rule, from its cost, reaches and pulls."""

from __future__ import annotations

from collections.abc import Mapping

from solver.candidate import Candidate
from solver.case import DemandName, PullName
from solver.money import Cost
from solver.rules import (
    Budget,
    Covered,
    Held,
    HoldCeiling,
    HoldFloor,
    Moves,
    NeedHolds,
    NotAllowed,
    Pulls,
    Rule,
    Unsplint,
)


def keeps(
    rule: Rule,
    mix: tuple[Candidate, ...],
    cost: Cost,
    reach: Mapping[DemandName, float],
    hold_n: Mapping[PullName, float],
) -> bool:
    """True where a mix keeps a rule."""
    match rule:
        case Budget():
            return cost.high <= rule.cap
        case HoldFloor():
            return sum(c.low_n for c in mix) >= rule.least_n - 1e-6
        case Held():
            return any(c.low_n > 0 for c in mix)
        case HoldCeiling():
            return sum(c.high_n for c in mix) <= rule.most_n + 1e-6
        case Pulls():
            return hold_n[rule.pull] >= rule.least_n - 1e-6
        case Moves():
            return reach[rule.demand] >= rule.share - 1e-6
        case NotAllowed():
            return not any(rule.permission in c.permissions for c in mix)
        case Covered():
            return any(c.site.id == rule.site or c.takes_bar_off for c in mix)
        case Unsplint():
            return not any(c.takes_bar_off for c in mix)
        case NeedHolds():
            return not any((rule.site, rule.of) in c.waived for c in mix)
