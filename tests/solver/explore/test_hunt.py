"""One search over many changes tells what a search for each tells, and loses none to the solver beneath."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

from catalogue.load import load_catalogue
from solver.assess.assessment import Status
from solver.choose.plan import Answer, plan
from solver.explore.figure_changes import Change, changes_of
from solver.explore.incumbent import Incumbent
from solver.explore.rival_search import Hunt, hunted
from solver.explore.weak_figures import weak_figures
from tests.solver.case.test_sample import sampled
from tests.solver.small import band, part, small_case, step, stock

# Of such models ortools 9.15.6755, with all of its presolve, called some infeasible.
SAMPLES = [4, 8198, 174, 514]
TURNED = [8198, 514, 759]

# What beats these plans also takes options that the plan leaves and no figure changes.
MIXED = [733, 759]


@cache
def incumbent(number: int) -> tuple[Incumbent, tuple[Change, ...]]:
    """The plan of a sampled case, and what changes in no rule and takes nothing of the plan away."""
    found: Answer = plan(sampled(number), load_catalogue())
    changes = changes_of(found, weak_figures(found.problem.catalogue))
    return Incumbent(found, math.inf), tuple(change for change in changes if not (change.everywhere or change.gone))


@pytest.mark.parametrize("number", SAMPLES)
def test_in_company_the_same_changes_are_told_as_alone(number: int) -> None:
    plan_of, changes = incumbent(number)
    alone = {id(change) for change in changes if list(hunted(plan_of, [change]))}

    assert alone == {id(change) for change in hunted(plan_of, changes)}


@pytest.mark.parametrize("number", [*SAMPLES, *MIXED])
def test_the_changes_told_are_those_under_which_a_plan_made_anew_is_better(number: int) -> None:
    plan_of, changes = incumbent(number)
    better = {id(change) for change in changes if plan_of.instead(change.problem)}

    assert better == {id(change) for change in hunted(plan_of, changes)}


@pytest.mark.parametrize(
    ("more", "steps"),
    [
        ({"price": band(900, 1000)}, ()),
        ({"steps": ["send"]}, (step("send", "segment", always_with=True, once=True, price=band(900, 1000)),)),
    ],
    ids=["a dear part", "a dear step paid once"],
)
def test_no_saving_outweighs_a_graver_rule(more: dict[str, Any], steps: tuple[dict[str, Any], ...]) -> None:
    """The plan breaks the budget tenfold and holds, which weighs more; whatever the cheap part costs, it does not."""
    catalogue = stock(part("cheap"), part("dear", retention_n=band(30, 40), **more), steps=steps)
    asked = {"wanted": {"level_n": 20}, "money": {"cap": 100}, "severity": {"level": 9}}
    found = plan(small_case(**asked, ends={"E": None}), catalogue)
    changes = [c for c in changes_of(found, weak_figures(catalogue)) if not (c.everywhere or c.gone)]

    assert found.best is not None
    assert ["budget"] == [entry.rule.code for entry in found.best.given_up]
    assert {"cheap"} == {change.figure.path[1] for change in changes}
    assert [] == list(hunted(Incumbent(found, math.inf), changes))


def test_there_is_something_to_tell() -> None:
    """Of the samples some are turned by figures and some stand; they fit, fit if, or give something up."""
    told = [list(hunted(*incumbent(number))) for number in SAMPLES]

    assert min(map(len, told)) <= 1
    assert max(map(len, told)) >= 2
    assert {Status.FITS, Status.FITS_IF, Status.RELAXED} == {incumbent(number)[0].status for number in SAMPLES}


@pytest.mark.parametrize("number", TURNED)
def test_a_bound_on_what_is_made_least_loses_no_mix(number: int) -> None:
    """Some mix beats the plan under some change, so that the same is found where only such mixes are left."""
    free, bounded = Hunt(*incumbent(number)), Hunt(*incumbent(number))
    found = free.beaten()
    bounded.master.model.add(bounded.lead(free.terms) <= -1)

    assert found != []
    assert found == bounded.beaten()


def test_searches_are_counted() -> None:
    found = plan(sampled(SAMPLES[2]), load_catalogue())
    plan_of = Incumbent(found, math.inf)

    assert [None, None] == [plan_of.instead(found.problem), plan_of.instead(found.problem)]
    assert 2 == plan_of.solved


def test_nothing_is_told_of_no_changes() -> None:
    assert [] == list(hunted(incumbent(SAMPLES[0])[0], []))
