"""An implant known to be loose: nothing is built beside it, and the bar over it is worked on only with open eyes.

Common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from cli.wording.rules import RuleWords
from solver.assess.assessment import GivenUp, Status, assess
from solver.assess.oracle import Mechanics
from solver.audit.certificate import verify
from solver.case.rules import FirmBar, NotAllowed, Rule
from solver.case.sites import loose_under
from solver.choose.plan import Answer, plan
from solver.errors import InternalFault
from solver.explore.agreement import Accord, agreement
from solver.fit.needs import Verdict
from solver.fit.proposal import candidate_for, read_put
from tests.solver.small import band, part, small_case, step, stock

CATALOGUE = stock(
    part("clip"),
    part("ball", "ball", "end"),
    part("cap", "bare", "end", retention_n=band(0, 0)),
    part("stud", "stud", "support", steps=["off"], price=band(80, 90)),
    steps=(step("off", "support", always_with=True, once=True, permissions=["bar_off"]),),
)
BEAM: dict[str, Any] = {
    "supports": {"M": {"at_mm": [0, 26, 0]}},
    "segments": {"B": None, "C": {"between": ["R", "M"]}, "D": {"between": ["M", "L"]}},
    "wanted": {"movement": {}},
}
"""A bar over R, M and L with an end on L."""


def planned(*, off: bool = False, **mobility: str) -> Answer:
    supports = {**BEAM["supports"]["M"], "mobility": mobility.pop("M", "unknown")}
    told = {"M": supports, **{name: {"mobility": word} for name, word in mobility.items()}}
    return plan(small_case(**{**BEAM, "supports": told, "allowed": {"bar_off": off}}), CATALOGUE)


@pytest.mark.parametrize(
    ("site", "expected"),
    [("C", ()), ("D", ("L",)), ("E", ("L",)), ("L", ("L",)), ("M", ())],
    ids=["stretch beyond", "stretch beside it", "end on it", "the support itself", "another support"],
)
def test_what_a_loose_implant_bears(site: str, expected: tuple[str, ...]) -> None:
    assert expected == loose_under(planned(L="loose").problem.case, site)


FIRM = dict.fromkeys(("R", "M", "L"), "firm")


@pytest.mark.parametrize(
    ("status", "rules", "sites", "more"),
    [
        pytest.param(Status.FITS, (), ["C"], {}, id="nobody has said"),
        pytest.param(Status.FITS, (), ["C"], FIRM, id="all firm"),
        pytest.param(Status.RELAXED, (FirmBar(("L",)),), ["C"], {"L": "loose"}, id="the left one"),
        pytest.param(Status.RELAXED, (FirmBar(("R",)),), ["D"], {"R": "loose"}, id="the right one"),
        pytest.param(Status.RELAXED, (FirmBar(("M",)),), ["E"], {"M": "loose"}, id="the middle one"),
        pytest.param(Status.FITS_IF, (), ["R", "M"], {"L": "loose", "off": True}, id="the bar may come off"),
    ],
)
def test_the_plan_stands_on_the_others_and_says_what_is_accepted(
    status: Status, rules: tuple[FirmBar, ...], sites: list[str], more: dict[str, Any]
) -> None:
    """Both opinions come to it."""
    found = planned(**more)

    assert found.best is not None
    assert (status, rules, sites) == (found.status, found.best.broken, [c.site.id for c in found.best.mix])
    assert Accord.AGREES is agreement(found).accord


def test_why_not_is_told_and_a_bare_end_may_still_be_cut() -> None:
    found = planned(L="loose")
    out = {c.key: j for c in found.problem.fit.at("E").rejected for j in c.judgements if j.verdict is Verdict.FAILS}
    words = RuleWords.of(found.problem)

    assert ["E=ball"] == [*out]
    assert ("mobility", "loose at L", "firm") == (out["E=ball"].of, out["E=ball"].have, out["E=ball"].want)
    assert "E=cap" in {candidate.key for candidate in found.problem.fit.at("E").usable}
    assert found.best is not None
    assert (
        "work on a bar with a loose implant (L): unscrew the bar and look at it first; if the implant goes, the bar "
        "is cut short beside it and the rest of the plan stands"
    ) == words.given_up(found.best.given_up[0])


@pytest.mark.parametrize(
    ("site", "put", "given_up", "fault"),
    [
        ("C", "clip", (), "the plan breaks firm-bar"),
        ("E", "ball", (FirmBar(("L",)),), "E=ball is built on an implant that moves"),
        ("D", "clip", (FirmBar(("L",)),), "D=clip is built on an implant that moves"),
        ("L", "stud", (NotAllowed("bar_off"),), "L=stud is built on an implant that moves"),
    ],
    ids=["not said", "end on it", "stretch beside it", "support itself"],
)
def test_a_plan_that_hides_a_loose_implant_is_a_fault(
    site: str, put: str, given_up: tuple[Rule, ...], fault: str
) -> None:
    problem = planned(L="loose").problem
    mix = assess(problem, Mechanics(problem), [problem.option(candidate_for(read_put(put), problem.fit.at(site)))])
    vars(mix).update(given_up=tuple(map(GivenUp, given_up)))

    with pytest.raises(InternalFault, match=fault):
        verify(mix)
