"""Why an attachment does or does not fit at a site, and what would change that."""

from __future__ import annotations

from typing import Any

import pytest

from solver.explain.needs import Why, why
from solver.fit.needs import Verdict
from solver.fit.proposal import Put
from tests.solver.small import need, part, small_case, step, stock

CATALOGUE = stock(
    part("clip", needs=[need("undercut_mm", at_least=0.4), need("width_mm", at_least=1.7, at_most=1.9)]),
    part("free"),
    part("stiff", movement={}),
    part("sent", steps=["send"]),
    steps=(
        step("deepen", "segment", makes={"undercut_mm": 0.45}, permissions=["cut_bar"]),
        step("weld", "segment", makes={"undercut_mm": 0.5}, permissions=["weld"]),
        step("send", "segment", always_with=True, permissions=["send_out"]),
    ),
)


def asked(attachment: str, reworks: tuple[str, ...] | None = None, **changes: Any) -> Why:
    return why(small_case(**changes), CATALOGUE, "B", Put(attachment, 1, reworks))


def test_an_attachment_is_judged_as_the_bar_is() -> None:
    """Reworks that would cure it are remedies, not taken for granted."""
    found = asked("clip")

    assert ("B=clip", Verdict.FAILS) == (found.candidate.key, found.candidate.verdict)
    assert ["clip + deepen", "clip + weld"] == [remedy.candidate.label for remedy in found.remedies]
    assert {("undercut_mm", Verdict.HOLDS)} == {(j.of, j.verdict) for r in found.remedies for j in r.cures}


def test_a_rework_that_is_named_is_judged_with_its_rework() -> None:
    found = asked("clip", ("deepen",))

    assert ("B=clip + deepen", Verdict.HOLDS, ()) == (found.candidate.key, found.candidate.verdict, found.remedies)


def test_a_remedy_that_leaves_another_need_failing_is_none() -> None:
    """2.4 mm of width fail, whatever is done to the undercut."""
    assert () == asked("clip", segments={"B": {"width_mm": 2.4}}).remedies


@pytest.mark.parametrize(
    ("closed", "changes"),
    [([], {}), (["allowed:send_out"], {"allowed": {"send_out": False}})],
    ids=["allowed", "not allowed"],
)
def test_work_that_is_not_allowed_is_said(closed: list[str], changes: dict[str, Any]) -> None:
    assert closed == [rule.code for rule in asked("sent", **changes).closed]


def test_what_binds_alone_is_said_with_the_demand() -> None:
    binds = asked("stiff").binds

    assert binds is not None
    assert ("moves:whole", "vertical") == (binds[0].code, binds[1].stops[0].component)
    assert binds[1].reach < 1
    assert asked("free").binds is None
