"""Rules for whole mixes: each kind that may be given up can be weighed, here and in a case file."""

from __future__ import annotations

from itertools import groupby
from typing import Any, get_args

import pytest

from solver.case import DEMANDS, Waivable
from solver.problem import Problem
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
    severity,
    waivable,
)
from tests.referee.random_case import INVENTED
from tests.solver.small import part, small_case, small_problem, stock

STILL = dict.fromkeys(DEMANDS, 0)
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


def test_our_own_order_of_what_is_given_up() -> None:
    """Money first, the motion that a denture leaves last; a case may say otherwise, in weights of the same span."""
    ranked = sorted(SEVERITY, key=lambda kind: SEVERITY[kind])
    order = [set(kinds) for _, kinds in groupby(ranked, key=lambda kind: SEVERITY[kind])]

    assert [{"budget"}, {"allowed"}, {"hold", "pull", "pulls"}, {"need", "cover"}, {"moves", "unsplint"}] == order
    assert all(1 <= weight <= 100 for weight in SEVERITY.values())


@pytest.mark.parametrize(
    ("expected", "own", "rule"),
    [
        (SEVERITY["allowed"], {}, NotAllowed("weld")),
        (SEVERITY["allowed"], {"need": 9}, NotAllowed("weld")),
        (9, {"allowed": 9}, NotAllowed("weld")),
        (7, {"allowed": 9, "allowed:weld": 7}, NotAllowed("weld")),
        (9, {"allowed": 9, "allowed:weld": 7}, NotAllowed("send_out")),
        (8, {"pulls": 8}, Pulls("left", 1)),
        (6, {"budget": 6}, Budget(1)),
    ],
    ids=[
        "ours",
        "another kind",
        "the kind",
        "the work itself",
        "other work",
        "a pull at any point",
        "no kind within",
    ],
)
def test_the_narrowest_weight_of_a_case_goes_before_ours(expected: int, own: dict[str, int], rule: Rule) -> None:
    assert expected == severity(rule, small_case(severity=own))


WAIVABLE: dict[str, tuple[bool, Rule]] = {
    "budget": (True, Budget(1)),
    "hold": (True, HoldFloor(1, False, "")),
    "that something holds": (False, Held()),
    "the whole base sinks": (True, Moves("whole", 1)),
    "a part of it sinks": (False, Moves("front", 1)),
    "an end covered by a thin base": (True, Covered("E", 0.1, thin=True)),
    "an end that a base cannot cover": (False, Covered("E", 0.1, thin=False)),
    "splinting": (True, Unsplint(4)),
}


@pytest.mark.parametrize(("expected", "rule"), WAIVABLE.values(), ids=WAIVABLE)
def test_safety_mechanics_and_the_purpose_stay(expected: bool, rule: Rule) -> None:
    assert expected is waivable(rule)


@pytest.mark.parametrize(("expected", "supports"), [(True, 3), (False, 4), (False, 5)])
def test_fewer_than_four_supports_are_few(expected: bool, supports: int) -> None:
    """Four is where Kern et al., Clin Oral Implants Res 2016;27:174-195, draw the line (read in the abstract)."""
    assert expected is Unsplint(supports).few


def problem(**changes: Any) -> Problem:
    """The small case without an end; all work is allowed and no demand asked unless said."""
    allowed = dict.fromkeys(PERMISSIONS, True)
    plain: dict[str, Any] = {"ends": {"E": None}, "allowed": allowed, "wanted": {"hold_n": 0, "movement": STILL}}
    return small_problem(stock(part("clip")), **{**plain, **changes})


NONE = HoldFloor(0, False, ""), Held()
"""No hold is asked; something holds all the same."""
FOUND: dict[str, tuple[tuple[Rule, ...], dict[str, Any]]] = {
    "nothing is asked": ((*NONE,), {}),
    "a cap": ((Budget(1250), *NONE), {"money": {"cap": 12.5}}),
    "a cap of nothing": ((Budget(0), *NONE), {"money": {"cap": 0}}),
    "a hold": ((HoldFloor(3, False, ""), Held()), {"wanted": {"hold_n": 3, "movement": STILL}}),
    "a hold of less than a newton": (
        (HoldFloor(0.5, False, ""), Held()), {"wanted": {"hold_n": 0.5, "movement": STILL}},
    ),
    "the hold that the catalogue takes": (
        (HoldFloor(5, True, INVENTED), Held()), {"wanted": {"hold_n": None, "movement": STILL}},
    ),
    "the most that a patient pulls": (
        (*NONE, HoldCeiling(0, False, "")), {"wanted": {"hold_n": 0, "most_n": 0, "movement": STILL}},
    ),
    "the most that a weak hand pulls": ((*NONE, HoldCeiling(15, True, INVENTED)), {"patient": {"hand": "weak"}}),
    "a pull told goes before the hand": (
        (*NONE, HoldCeiling(9, False, "")),
        {"patient": {"hand": "weak"}, "wanted": {"hold_n": 0, "most_n": 9, "movement": STILL}},
    ),
    "pulls at points": (
        (*NONE, Pulls("left", 0.5), Pulls("front", 2)),
        {"wanted": {"hold_n": 0, "movement": STILL, "pull_n": {"front": 2, "left": 0.5, "right": 0}}},
    ),
    "demands, in full unless said": (
        (*NONE, Moves("whole", 0.5), Moves("left", 1), Moves("right", 1)),
        {"wanted": {"hold_n": 0, "movement": {"whole": 0.5, "front": 0}}},
    ),
    "work": ((*NONE, NotAllowed("weld")), {"allowed": {**dict.fromkeys(PERMISSIONS, True), "weld": False}}),
    "an upper bar": ((*NONE, Unsplint(2)), {"arch": "upper"}),
    "an upper jaw without a bar": ((*NONE,), {"arch": "upper", "segments": {"B": None}}),
}  # fmt: skip


@pytest.mark.parametrize(("expected", "changes"), FOUND.values(), ids=FOUND)
def test_the_rules_of_a_case_in_a_fixed_order(expected: tuple[Rule, ...], changes: dict[str, Any]) -> None:
    upper = {"denture": {"left": None, "right": None, "front": None}} if changes.get("arch") == "upper" else {}

    assert expected == problem(**changes, **upper).rules
