"""What a relaxed plan gives up: each rule with the amount, so that a person can decide on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from catalogue.blocks import Waiver
from catalogue.quantities import QUANTITIES
from solver.candidate import Candidate
from solver.case import PullName
from solver.judge import Verdict
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


@dataclass(frozen=True, slots=True)
class GivenUp:
    """One rule given up: `have` where `want` was asked, missing `amount`, all in `unit` (minor units for money).

    A rule of yes or no has no numbers. `waiver` is the catalogue's advice for a need.
    """

    rule: Rule
    amount: float = 0.0
    have: float = 0.0
    want: float = 0.0
    unit: str = ""
    waiver: Waiver | None = None


def given_up_by(
    rules: Iterable[Rule], mix: Sequence[Candidate], cost: Cost, whole_reach: float, hold_n: Mapping[PullName, float]
) -> tuple[GivenUp, ...]:
    """The amounts by which a mix misses the rules given up for it."""
    return tuple(_amount(rule, mix, cost, whole_reach, hold_n) for rule in rules)


def _amount(
    rule: Rule, mix: Sequence[Candidate], cost: Cost, whole_reach: float, hold_n: Mapping[PullName, float]
) -> GivenUp:
    match rule:
        case Budget():
            return _missing(rule, cost.high, rule.cap, "money")
        case HoldFloor():
            return _missing(rule, sum(c.low_n for c in mix), rule.least_n, "N")
        case HoldCeiling():
            return _missing(rule, sum(c.high_n for c in mix), rule.most_n, "N")
        case Pulls():
            return _missing(rule, hold_n[rule.pull], rule.least_n, "N")
        case Moves():
            return _missing(rule, whole_reach, rule.share, "share")
        case NeedHolds():
            return _need(rule, mix)
        case Covered():
            return GivenUp(rule, rule.short_by_mm, unit="mm")
        case NotAllowed() | Unsplint() | Held():
            return GivenUp(rule)


def _missing(rule: Rule, have: float, want: float, unit: str) -> GivenUp:
    return GivenUp(rule, round(abs(want - have), 6), have, want, unit)


def _need(rule: NeedHolds, mix: Sequence[Candidate]) -> GivenUp:
    judgements = [j for c in mix if c.site.id == rule.site for j in c.judgements]
    worst = max((j for j in judgements if j.of == rule.of and j.verdict is Verdict.SHORT), key=lambda j: j.short_by)
    unit = QUANTITIES[rule.of].unit if rule.of in QUANTITIES else ""
    return GivenUp(rule, worst.short_by, unit=unit, waiver=worst.waiver)
