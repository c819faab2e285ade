"""The keys of a case file that a rule follows from."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.yaml_text import Loc
from solver.origin import origins
from solver.rules import Budget, Covered, HoldCeiling, HoldFloor, Moves, NeedHolds, NotAllowed, Pulls, Rule, Unsplint
from tests.solver.small import small_case

CASES: dict[str, tuple[dict[str, Any], Rule, tuple[Loc, ...]]] = {
    "cap": ({}, Budget(100), (("money", "cap"),)),
    "hold": ({}, HoldFloor(5, False, ""), (("wanted", "hold_n"),)),
    "pull given": ({}, HoldCeiling(5, False, ""), (("wanted", "most_n"),)),
    "pull by the hand": ({}, HoldCeiling(5, True, "x"), (("patient", "hand"),)),
    "pull at a point": ({}, Pulls("left", 2), (("wanted", "pull_n", "left"),)),
    "movement": ({}, Moves("whole", 1), (("wanted", "movement", "whole"), ("denture", "settling_mm"))),
    "work": ({}, NotAllowed("weld"), (("allowed", "weld"),)),
    "splinting": ({}, Unsplint(2), (("arch",),)),
    "a measure": ({}, NeedHolds("B", "undercut_mm"), (("segments", "B", "undercut_mm"),)),
    "grinding": ({}, NeedHolds("B", "grinding"), (("patient", "bruxism"), ("opposing",))),
    "fixing": ({}, NeedHolds("B", "fixing"), (("bar", "fixing"),)),
    "scans": ({}, NeedHolds("B", "scans"), (("patient", "scans_expected"),)),
    "room of the case by difference": ({}, NeedHolds("B", "room_mm"), (("room", "space_mm"), ("room", "top_mm"))),
    "room of the case": ({"room": {"room_mm": 9}}, NeedHolds("B", "room_mm"), (("room", "room_mm"),)),
    "room of the site": (
        {"segments": {"B": {"room_mm": 9}}}, NeedHolds("B", "room_mm"), (("segments", "B", "room_mm"),),
    ),
    "room of an end by its own height": (
        {"room": {"room_mm": 9}, "ends": {"E": {"top_mm": 5}}}, Covered("E", 1, False),
        (("room", "space_mm"), ("ends", "E", "top_mm")),
    ),
    "breadth of the case": ({}, NeedHolds("E", "breadth_mm"), (("room", "breadth_mm"),)),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "rule", "expected"), CASES.values(), ids=CASES)
def test_a_rule_is_traced_to_its_keys(changes: dict[str, Any], rule: Rule, expected: tuple[Loc, ...]) -> None:
    assert expected == origins(small_case(**changes), rule)
