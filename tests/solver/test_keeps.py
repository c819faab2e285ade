"""Each rule against one mix: at its border it is kept, past it by more than rounding it is broken."""

from __future__ import annotations

import pytest
from solver.keeps import keeps

from solver.candidate import Candidate
from solver.case import DemandName, PullName
from solver.money import Cost
from solver.problem import Problem
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
from tests.solver.small import band, need, part, small_problem, step, stock, waive

STOCK = stock(
    part("clip"),
    part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("sent", steps=["send", "solder"]),
    part("ball", "ball", "end"),
    part("idle", "ball", "end", retention_n=band(0, 3)),
    part("faint", "ball", "end", retention_n=band(0.1, 3)),
    part("stud", "stud", "support", steps=["off"]),
    steps=(
        step("send", "segment", always_with=True, permissions=["send_out"]),
        step("solder", "segment", always_with=True, permissions=["weld"]),
        step("off", "support", always_with=True, once=True, permissions=["bar_off"]),
    ),
)
PROBLEM: Problem = small_problem(STOCK)
BY_KEY = {option.candidate.key: option.candidate for option in PROBLEM.options}
NOTHING: tuple[str, ...] = ()
IDLE = ("E=idle",)
CLIP, BALL, SENT, SHORT, STUD = ("B=clip",), ("E=ball",), ("B=sent",), ("B=short",), ("R=stud",)
REACH: dict[DemandName, float] = {"whole": 0.8, "front": 1.0, "left": 0.5, "right": 1.0}
HOLD_N: dict[PullName, float] = {"centre": 3.0, "left": 1.0, "right": 1.5, "front": 0.0}


def mix(*keys: str) -> tuple[Candidate, ...]:
    return tuple(BY_KEY[key] for key in keys)


TABLE: dict[str, tuple[bool, Rule, tuple[str, ...]]] = {
    "cap, border of the high end": (True, Budget(1200), CLIP),
    "cap, a cent less": (False, Budget(1199), CLIP),
    "cap, nothing costs nothing": (True, Budget(0), NOTHING),
    "hold, border of the low ends": (True, HoldFloor(10, False, ""), CLIP + BALL),
    "hold, within rounding": (True, HoldFloor(10 + 5e-7, False, ""), CLIP + BALL),
    "hold, past rounding": (False, HoldFloor(10 + 2e-6, False, ""), CLIP + BALL),
    "hold, nothing holds nothing": (True, HoldFloor(0, False, ""), NOTHING),
    "hold, nothing holds": (False, HoldFloor(0.1, False, ""), NOTHING),
    "something holds, one of two": (True, Held(), CLIP + IDLE),
    "something holds, however little": (True, Held(), ("E=faint",)),
    "something holds, what is there holds nothing": (False, Held(), IDLE),
    "something holds, nothing is there": (False, Held(), NOTHING),
    "pull, border of the high ends": (True, HoldCeiling(16, False, ""), CLIP + BALL),
    "pull, within rounding": (True, HoldCeiling(16 - 5e-7, False, ""), CLIP + BALL),
    "pull, past rounding": (False, HoldCeiling(16 - 2e-6, False, ""), CLIP + BALL),
    "point of pull, border": (True, Pulls("right", 1.5), CLIP),
    "point of pull, within rounding": (True, Pulls("right", 1.5 + 5e-7), CLIP),
    "point of pull, past rounding": (False, Pulls("right", 1.5 + 2e-6), CLIP),
    "point of pull, another one": (False, Pulls("left", 1.5), CLIP),
    "movement, border": (True, Moves("whole", 0.8), CLIP),
    "movement, within rounding": (True, Moves("whole", 0.8 + 5e-7), CLIP),
    "movement, past rounding": (False, Moves("whole", 0.8 + 2e-6), CLIP),
    "movement, another demand": (False, Moves("left", 0.8), CLIP),
    "work, not done": (True, NotAllowed("send_out"), CLIP + BALL),
    "work, done by one of two": (False, NotAllowed("send_out"), SENT + BALL),
    "work, done too": (False, NotAllowed("weld"), SENT),
    "work, done by none": (True, NotAllowed("send_out"), NOTHING),
    "cover, by what is there": (True, Covered("E", 1, False), CLIP + BALL),
    "cover, by nothing": (False, Covered("E", 1, False), NOTHING),
    "cover, by what is elsewhere": (False, Covered("E", 1, False), CLIP),
    "cover, the bar is off": (True, Covered("E", 1, False), STUD),
    "splint, bar on": (True, Unsplint(2), CLIP),
    "splint, nothing": (True, Unsplint(2), NOTHING),
    "splint, bar off": (False, Unsplint(2), STUD),
    "need, short there": (False, NeedHolds("B", "undercut_mm"), SHORT + BALL),
    "need, short in something else": (True, NeedHolds("B", "gap_mm"), SHORT),
    "need, short elsewhere": (True, NeedHolds("E", "undercut_mm"), SHORT),
    "need, met": (True, NeedHolds("B", "undercut_mm"), CLIP),
}


@pytest.mark.parametrize(("kept", "rule", "keys"), TABLE.values(), ids=TABLE)
def test_keeps(kept: bool, rule: Rule, keys: tuple[str, ...]) -> None:
    """A clip and a ball hold 5 to 8 N each and cost 10 to 12 EUR; a millionth is rounding."""
    chosen = mix(*keys)

    assert kept is keeps(rule, chosen, PROBLEM.cost_of(chosen), REACH, HOLD_N)


def test_the_low_end_of_the_cost_keeps_no_cap() -> None:
    assert not keeps(Budget(1000), mix(*CLIP), Cost(900, 1001), {}, {})
