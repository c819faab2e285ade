"""What no plan can use, once per attachment and site, by the reason that comes nearest."""

from __future__ import annotations

from typing import Any

from solver.assess.oracle import Mechanics
from solver.assess.rejections import RuledOut, ruled_out
from tests.referee.random_case import INVENTED
from tests.solver.small import need, part, small_problem, step, stock, waive

CATALOGUE = stock(
    part("asks", needs=[need("gap_mm", at_least=1)]),
    part("clip", needs=[need("undercut_mm", at_least=0.4)]),
    part("cured", needs=[need("width_mm", at_least=2.2)]),
    part("many", length_mm=7, most=3),
    part("sent", steps=["send"]),
    part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("stiff", movement={}),
    part("tall", stack={"part": 9, "source": INVENTED}, length_mm=20, most=2),
    steps=(
        step("send", "segment", always_with=True, permissions=["send_out"]),
        step("weld", "segment", makes={"width_mm": 2.3}),
    ),
)


def entries(**changes: Any) -> dict[str, RuledOut]:
    problem = small_problem(CATALOGUE, allowed={"send_out": False}, **changes)
    return {entry.candidate.label: entry for entry in ruled_out(problem, Mechanics(problem))}


def test_only_what_no_plan_can_use_is_ruled_out() -> None:
    """A question is no refusal, a rework that cures saves it, and two of `many` fit though three do not."""
    assert ["clip", "sent", "short", "stiff", "tall"] == sorted(entries())


def test_each_is_ruled_out_by_its_own_reason() -> None:
    found = entries()

    assert ["undercut_mm"] == [j.of for j in found["clip"].judgements] == [j.of for j in found["short"].judgements]
    assert ["allowed:send_out"] == [rule.code for rule in found["sent"].rules]
    assert found["stiff"].binds is not None
    assert "moves:whole" == found["stiff"].binds[0].code
    assert (None, (), ()) == (found["clip"].binds, found["clip"].rules, found["sent"].judgements)


def test_the_nearest_variant_stands_for_all() -> None:
    """One `tall` lacks room and length, as two do; the one needs less."""
    assert ["room_mm", "length_mm"] == [j.of for j in entries()["tall"].judgements]
    assert 1 == entries()["tall"].candidate.count


def test_a_demand_that_is_not_asked_rules_nothing_out() -> None:
    movement = dict.fromkeys(("whole", "front", "left", "right"), 0)

    assert "stiff" not in entries(wanted={"movement": movement})
