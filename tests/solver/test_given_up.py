"""What a plan gives up is said with the amount, in the unit of the rule, whichever side of the limit it lies on."""

from __future__ import annotations

import pytest

from solver.assessment import GivenUp
from solver.candidate import Candidate
from solver.money import Cost
from solver.rules import Budget, Covered, HoldCeiling, HoldFloor, Moves, NeedHolds, NotAllowed, Pulls, Rule
from tests.solver.small import need, part, small_problem, stock, waive

_NEEDS = [
    need("undercut_mm", at_least=0.4, waive=waive(0.2)),
    need("undercut_mm", at_least=0.45, waive=waive(0.3)),
    need("width_mm", at_least=2.5, waive=waive(1)),
]
PROBLEM = small_problem(stock(part("clip", needs=_NEEDS), part("stud", at="support")))
MIX = [PROBLEM.fit.at(site).usable[0] for site in ("B", "R")]
"""A clip 0.1 and 0.15 mm short of undercut and 0.7 of width, and a stud; 5 to 8 N each."""


def given_up(rule: Rule, mix: list[Candidate] = MIX) -> GivenUp:
    (said,) = given_up_by([rule], mix, Cost(500, 900), 0.25, {"front": 3.0, "left": 1.0})
    return said


@pytest.mark.parametrize(
    ("rule", "amount", "have", "want", "unit"),
    [
        (Budget(650), 250, 900, 650, "money"),
        (HoldFloor(11.25, False, ""), 1.25, 10, 11.25, "N"),
        (HoldCeiling(13.5, False, ""), 2.5, 16, 13.5, "N"),
        (Pulls("left", 4.5), 3.5, 1, 4.5, "N"),
        (Moves("whole", 0.75), 0.5, 0.25, 0.75, "share"),
        (Covered("E", 0.4, thin=False), 0.4, 0, 0, "mm"),
        (NotAllowed("weld"), 0, 0, 0, ""),
    ],
    ids=["cost", "hold at the low end", "pull at the high end", "pull at a point", "reach", "cover", "yes or no"],
)
def test_an_amount_lies_between_what_is_there_and_what_was_asked(
    rule: Rule, amount: float, have: float, want: float, unit: str
) -> None:
    assert GivenUp(rule, amount, have, want, unit) == given_up(rule)
    assert (amount, have, want) == (given_up(rule).amount, given_up(rule).have, given_up(rule).want)


def test_a_rule_of_yes_or_no_has_no_numbers() -> None:
    said = given_up(NotAllowed("weld"))

    assert (0.0, 0.0, 0.0, "", None) == (said.amount, said.have, said.want, said.unit, said.waiver)


def test_of_several_needs_for_one_measure_the_worst_counts_with_its_own_advice() -> None:
    said = given_up(NeedHolds("B", "undercut_mm"))

    assert pytest.approx(0.15) == said.amount
    assert "mm" == said.unit
    assert said.waiver is not None
    assert 0.3 == said.waiver.up_to


def test_amounts_are_rounded_to_millionths() -> None:
    assert 1.234568 == given_up(HoldFloor(11.23456789, False, "")).amount
