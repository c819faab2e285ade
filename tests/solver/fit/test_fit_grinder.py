"""A grinder against something hard is advised against elastomer and soft polymer: short, never out."""

from __future__ import annotations

import pytest

from solver.audit.second_opinion.mixes import Mixes
from solver.audit.second_opinion.world import World
from solver.case.rules import NeedHolds
from solver.fit.bench import fit
from solver.fit.needs import Verdict
from solver.fit.pricing import purse_of
from tests.solver.small import part, small_case, small_problem, stock

HOLDS, ASK, SHORT, FAILS = Verdict
CATALOGUE = stock(part("soft", wears_by_grinding=True), part("metal"))

GRINDS = {
    "yes, natural": SHORT,
    "yes, implants": SHORT,
    "yes, denture": HOLDS,
    "yes, unknown": HOLDS,
    "no, natural": HOLDS,
    "unknown, natural": HOLDS,
}
"""What is not known is no advice: the caution of grinding stands with every plan until it is ruled out."""


@pytest.mark.parametrize("told", GRINDS)
def test_a_grinder_on_something_hard(told: str) -> None:
    bruxism, opposing = told.split(", ")
    case = small_case(patient={"bruxism": bruxism}, opposing=opposing)
    found = {c.attachment.id: c for c in fit(case, CATALOGUE, purse_of(case, CATALOGUE)).at("B").every}

    assert {"soft": GRINDS[told], "metal": HOLDS} == {name: c.verdict for name, c in found.items()}


def test_it_is_given_up_as_a_need_of_the_site_with_the_advice_of_the_catalogue() -> None:
    problem = small_problem(CATALOGUE, patient={"bruxism": "yes"}, opposing="implants")
    soft = problem.option_of["B=soft"]

    (judged,) = (j for j in soft.candidate.judgements if j.verdict is SHORT)
    assert (NeedHolds("B", "grinding"),) == soft.needs_waived
    assert ("on implants", "no elastomer or soft polymer under a grinder") == (judged.have, judged.want)
    assert CATALOGUE.defaults.grinding is judged.waiver


@pytest.mark.parametrize("told", GRINDS)
def test_the_second_opinion_advises_alike(told: str) -> None:
    bruxism, opposing = told.split(", ")
    world = World(small_case(patient={"bruxism": bruxism}, opposing=opposing), CATALOGUE)
    pieces = {piece.attachment.id: piece for piece in Mixes(world).groups[0]["B"]}

    asked = {"need:B:grinding"} if GRINDS[told] is SHORT else set()
    assert ("metal" in pieces, set()) == (True, set(pieces["metal"].broken))
    assert "soft" not in pieces or asked == pieces["soft"].broken
    assert bool(asked) == ("soft" in pieces and bool(pieces["soft"].broken))
