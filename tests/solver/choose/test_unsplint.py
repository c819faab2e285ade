"""Taking the bar off in the upper jaw: never silent, and never impossible."""

from __future__ import annotations

from typing import Any

import pytest

from cli.wording.rules import RuleWords
from solver.assess.assessment import Status
from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.assess.rejections import ruled_out
from solver.case.rules import EnoughSupports, NotAllowed, Unsplint
from solver.choose.check import check
from solver.choose.plan import plan
from solver.fit.proposal import Put
from tests.solver.small import part, small_case, step, stock

STUDS = stock(
    part("stud", "stud", "support", steps=["off"]),
    steps=(step("off", "support", always_with=True, once=True, permissions=["bar_off"]),),
)
UPPER: dict[str, Any] = {
    "arch": "upper",
    "denture": {"left": None, "right": None, "front": None},
    "allowed": {"bar_off": True},
    "wanted": {"level_n": 5, "pull_n": {"centre": 0.5, "front": 0.5}},
}
"""Going without any attachment would give up a hold and two pulls, which weighs more than the splint."""

DENSE = (
    "accept implants that no bar splints, once mobility and bone of each are checked; upper jaw: bone is commonly "
    "taken as about half as dense as in the lower jaw (common practice, no source)"
)
FEWER = "; with fewer than four implants about three times as many are lost (Kern et al. 2016, read in abstract)"


@pytest.mark.parametrize(
    ("status", "rules", "changes"),
    [
        (Status.FITS_IF, [], {"arch": "lower"}),
        (Status.RELAXED, [EnoughSupports(4), Unsplint(2)], {}),
        (Status.RELAXED, [NotAllowed("bar_off"), EnoughSupports(4), Unsplint(2)], {"allowed": {"bar_off": False}}),
        (Status.RELAXED, [EnoughSupports(4)], {"segments": {"B": None}, "ends": {"E": None}}),
    ],
    ids=["lower", "upper", "upper, not allowed either", "upper without a bar"],
)
def test_where_nothing_fits_the_bar_the_plan_says_what_it_gives_up(
    status: Status, rules: list[object], changes: dict[str, Any]
) -> None:
    found = plan(small_case(**{**UPPER, **changes}), STUDS)

    assert found.best is not None
    assert (status, rules) == (found.status, [entry.rule for entry in found.best.given_up])


@pytest.mark.parametrize(("supports", "said"), [(3, DENSE + FEWER), (4, DENSE)])
def test_the_sentence_gives_the_reason_and_how_it_is_known(supports: int, said: str) -> None:
    """Kern et al., Clin Oral Implants Res 2016;27:174-195: 7.22 below four against 2.31 with four (read)."""
    case = small_case(**UPPER, supports={f"S{i}": {"at_mm": [6 * i, 30, 0]} for i in range(supports - 2)})
    best = plan(case, STUDS).best

    assert best is not None
    told = [RuleWords.of(best.problem).given_up(entry) for entry in best.given_up if entry.rule.code == "unsplint"]
    assert [said] == told


def test_a_mix_that_is_proposed_breaks_the_rule() -> None:
    found = check(small_case(**UPPER), STUDS, {"R": Put("stud", 1, None), "L": Put("stud", 1, None)})

    assert (Status.RELAXED, (EnoughSupports(4), Unsplint(2))) == (found.status, found.broken)


def test_what_wants_the_bar_off_is_listed_as_ruled_out() -> None:
    problem = problem_of(small_case(**UPPER), STUDS)

    found = ruled_out(problem, Mechanics(problem))

    assert [("R", (Unsplint(2),)), ("L", (Unsplint(2),))] == [(e.candidate.site.id, e.rules) for e in found]
