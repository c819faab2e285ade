"""`plan --second-opinion`: agreement said, too large said, a disagreement loud, a missing library named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import cli.commands.plan
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FAULT, FITS
from cli.files.desk import open_desk
from cli.wording.agreement import sentence
from solver.choose.plan import Answer, plan
from solver.explore.agreement import Accord, Agreement, Side, agreement
from tests.cli.ran import CASE, Run


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)
    return path


def planned(case: Path) -> Answer:
    desk = open_desk(str(case))
    return plan(desk.case, desk.catalogue)


def test_agreement_is_said_at_the_top(case: Path, run: Run) -> None:
    ran = run("plan", case, "--second-opinion")

    assert FITS == ran.code
    assert "Second opinion: agrees, none is better than " in ran.out


def test_it_is_not_taken_unless_asked_for(case: Path, run: Run) -> None:
    assert "Second opinion" not in run("plan", case).out
    assert "second_opinion" not in run("plan", case, "--json").answer


def test_both_ranks_stand_in_the_json(case: Path, run: Run) -> None:
    told = run("plan", case, "--second-opinion", "--json").answer

    assert "agrees" == told["second_opinion"]["accord"]
    assert told["cost"]["high"] == told["second_opinion"]["second"]["cost"]
    assert len(told["questions"]) == told["second_opinion"]["second"]["questions"]


def test_the_cost_over_the_years_is_compared_where_it_is_made_least(case: Path, run: Run) -> None:
    told = run("plan", case, "--second-opinion", "--least", "years", "--json").answer

    assert "agrees" == told["second_opinion"]["accord"]
    assert told["aftercare"]["cost"]["high"] == told["second_opinion"]["second"]["cost"]


def test_a_plan_that_gives_something_up_is_compared_with_the_same_given_up(case: Path, run: Run) -> None:
    case.write_text(CASE.replace("currency: EUR,", "currency: EUR, cap: 1,") + "wanted: {hold_n: 1}\n")

    ran = run("plan", case, "--second-opinion")

    assert DOES_NOT_FIT == ran.code
    said = "agrees, nothing fits as it is, nothing gives up less, and with the same given up none is better"
    assert said in " ".join(ran.out.split())


def test_too_many_mixes_are_said_and_not_tried(case: Path) -> None:
    found = planned(case)

    told = agreement(found, most=3)

    assert Accord.NOT_TAKEN is told.accord
    said = sentence(told, found.problem)
    assert f"not taken, {told.opinion.mixes:,} mixes are more than the 3 that it tries" in said


@pytest.mark.parametrize("theirs", [Side((1, 0, 1)), None], ids=["cheaper", "nothing fits"])
def test_a_disagreement_is_loud_and_gives_no_answer(
    case: Path, run: Run, monkeypatch: pytest.MonkeyPatch, theirs: Side | None
) -> None:
    def differs(found: Answer) -> Agreement:
        told = agreement(found)
        fits = told.opinion.fits if theirs else None
        return replace(told, accord=Accord.DIFFERS, theirs=theirs, opinion=replace(told.opinion, fits=fits))

    monkeypatch.setattr(cli.commands.plan, "agreement", differs)

    ran = run("plan", case, "--second-opinion")

    assert FAULT == ran.code
    assert "" == ran.out
    assert "no answer is given: the second opinion disagrees" in ran.err


def test_a_wrong_price_of_ours_is_noticed(case: Path) -> None:
    found = planned(case)
    assert found.best is not None
    cheaper = replace(found.best)
    vars(cheaper)["cost"] = replace(found.best.cost, high=found.best.cost.high - 1)

    assert Accord.AGREES is agreement(found).accord
    assert Accord.DIFFERS is agreement(replace(found, plans=(cheaper,))).accord


def test_the_missing_library_is_named_with_its_extra(case: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "constraint", None)

    ran = run("plan", case, "--second-opinion")

    assert BAD_INPUT == ran.code
    assert "the library `constraint` is not installed; install regrip with its extra: `regrip[referee]`" in ran.err
