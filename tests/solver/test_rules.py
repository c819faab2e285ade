"""Rules for whole mixes: each kind that may be given up can be weighed, here and in a case file."""

from __future__ import annotations

from typing import get_args

from solver.case import Waivable
from solver.rules import (
    PERMISSIONS,
    SEVERITY,
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
    waivable,
)

EVERY: tuple[Rule, ...] = (
    Budget(1),
    HoldFloor(1, False, ""),
    Held(),
    HoldCeiling(1, False, ""),
    Pulls("front", 1),
    Moves("whole", 1),
    NotAllowed("weld"),
    NeedHolds("A", "width_mm"),
    Covered("E", 0.1, thin=True),
    Unsplint(4),
)
KINDS = {rule.code.partition(":")[0] for rule in EVERY if waivable(rule)}


def test_every_kind_of_rule_that_may_be_given_up_has_a_weight_that_a_case_can_set() -> None:
    assert set(get_args(Rule)) == {type(rule) for rule in EVERY}
    assert KINDS == set(SEVERITY)
    assert {*KINDS, *(NotAllowed(work).code for work in PERMISSIONS)} == set(get_args(Waivable))
