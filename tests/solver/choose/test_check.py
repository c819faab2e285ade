"""A proposed mix is held to the same rules as a plan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

from solver.assess.assessment import Status
from solver.case.rules import Rule
from solver.choose.check import BarOnAndOff, Checked, check
from solver.choose.plan import plan
from solver.fit.bench import NoSuchSite
from solver.fit.proposal import BadPut, Put, read_put
from tests.referee.random_case import random_world
from tests.solver.small import need, part, small_case, step, stock, waive

CATALOGUE = stock(
    part("clip"),
    part("grips", needs=[need("undercut_mm", at_least=0.4)]),
    part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("asks", needs=[need("gap_mm", at_least=1)]),
    part("stiff", movement={}),
    part("sent", steps=["send"]),
    part("ball", "ball", "end"),
    part("stud", "stud", "support"),
    steps=(step("send", "segment", always_with=True, permissions=["send_out"]),),
)


def checked(puts: dict[str, str], **changes: Any) -> Checked:
    return check(small_case(**changes), CATALOGUE, {site: read_put(text) for site, text in puts.items()})


@pytest.mark.parametrize(
    ("status", "broken", "puts", "changes"),
    [
        pytest.param(Status.FITS, [], {"B": "clip", "E": "ball"}, {}, id="fits"),
        pytest.param(Status.NONE, ["held"], {}, {}, id="nothing, where no hold is asked"),
        pytest.param(Status.FITS_IF, [], {"B": "asks"}, {}, id="hangs on an answer"),
        pytest.param(Status.NONE, [], {"B": "grips"}, {}, id="a need fails"),
        pytest.param(Status.RELAXED, ["need:B:undercut_mm"], {"B": "short"}, {}, id="a need is short"),
        pytest.param(Status.RELAXED, ["level"], {"B": "clip"}, {"wanted": {"level_n": 5.1}}, id="holds too little"),
        pytest.param(Status.NONE, ["held", "level"], {}, {"wanted": {"level_n": 1}}, id="holds nothing"),
        pytest.param(Status.RELAXED, ["peel"], {"B": "clip"}, {"wanted": {"most_n": 2.4}}, id="holds too much"),
        pytest.param(Status.RELAXED, ["budget"], {"B": "clip"}, {"money": {"cap": 11}}, id="dear"),
        pytest.param(
            Status.RELAXED, ["allowed:send_out"], {"B": "sent"}, {"allowed": {"send_out": False}}, id="not allowed"
        ),
        pytest.param(Status.NONE, ["cover:E"], {"B": "clip"}, {"ends": {"E": {"room_mm": 1}}}, id="end stands out"),
        pytest.param(
            Status.NONE,
            ["moves:whole", "moves:front", "moves:left", "moves:right"],
            {"B": "stiff"},
            {},
            id="binds, of which only the whole may be given up",
        ),
        pytest.param(
            Status.RELAXED,
            ["moves:whole"],
            {"B": "stiff"},
            {"wanted": {"movement": {"front": 0, "left": 0, "right": 0}}},
            id="binds the whole alone",
        ),
    ],
)
def test_status_and_broken_rules(
    status: Status, broken: list[str], puts: dict[str, str], changes: dict[str, Any]
) -> None:
    found = checked(puts, **changes)

    assert (status, broken) == (found.status, [rule.code for rule in found.broken])


def test_a_refusal_names_the_need() -> None:
    (refusal,) = checked({"B": "grips"}).refusals

    assert ("B=grips", "undercut_mm") == (refusal.candidate.key, refusal.judgement.of)
    assert 0.1 == pytest.approx(refusal.judgement.short_by)


def test_what_is_given_up_comes_with_its_amount() -> None:
    found = checked({"B": "clip"}, money={"cap": 11}, wanted={"most_n": 2})

    too_firm_n = pytest.approx(found.plan.peel_n - 2, abs=1e-6)
    assert 2.4 < found.plan.peel_n < 2.5
    assert [("budget", 100, "money"), ("peel", too_firm_n, "N")] == [
        (g.rule.code, g.amount, g.unit) for g in found.plan.given_up
    ]


@pytest.mark.parametrize(
    ("fault", "puts"),
    [(BarOnAndOff, {"B": "clip", "R": "stud"}), (NoSuchSite, {"Q": "clip"}), (BadPut, {"B": "ball"})],
    ids=["bar on and off", "no such site", "cannot go there"],
)
def test_refuses_what_cannot_be(fault: type[Exception], puts: dict[str, str]) -> None:
    with pytest.raises(fault):
        checked(puts)


@pytest.mark.parametrize("seed", [*range(12), *range(13, 19), 20, 21])  # nothing may be had in 12 and 19
def test_a_plan_checked_again_has_the_same_status(seed: int) -> None:
    """Every plan, put as a proposal, comes out as it went in: cost, status and what is given up."""
    case, catalogue = random_world(seed)
    answer = plan(case, catalogue)
    assert answer.best is not None
    puts = {c.site.id: Put(c.attachment.id, c.count, tuple(r.id for r in c.extra_reworks)) for c in answer.best.mix}

    found = check(case, catalogue, puts)

    assert (answer.status, answer.best.cost) == (found.status, found.plan.cost)
    assert codes(g.rule for g in answer.best.given_up) == codes(found.broken)


def codes(rules: Iterable[Rule]) -> list[str]:
    return sorted(rule.code for rule in rules)
