"""What is said of a case that is half told: as `plan` and `ask` say it, only sooner."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from catalogue.yaml_text import read_yaml
from solver.assess.assessment import Status
from solver.assess.cautions import Hazard
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.explore import so_far as module
from solver.explore.beside import (
    BAR_OFF,
    CAP,
    GRINDS,
    HAND,
    HOUSINGS,
    METALS,
    OPPOSING,
    PALATE,
    STATE,
    TAKES_OUT,
    beside,
)
from solver.explore.questions import ask
from solver.explore.so_far import SoFar, so_far

VIGNETTES = Path(__file__).parents[2] / "vignettes"
STARTER = load_catalogue()


def vignette(name: str) -> Case:
    return read_case(read_yaml(VIGNETTES / f"{name}.yaml"))


@pytest.fixture(autouse=True)
def _in_no_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine must not fail a test."""
    monkeypatch.setattr(module, "WEIGHED_S", 60.0)


PLANNED = ["17-phone5", "01-lower2-lost-clip", "60-fixed-upper4", "56-phone-upper4", "57-phone-bar-lost", "12", "05"]
PLANNED = [path.stem for path in sorted(VIGNETTES.glob("*.yaml")) if path.stem.startswith(tuple(PLANNED))]


@pytest.mark.parametrize("name", PLANNED)
def test_the_plan_and_its_status_are_those_of_plan(name: str) -> None:
    case = vignette(name)

    found, planned = so_far(case, STARTER), plan(case, STARTER)

    assert planned.status is found.status
    assert planned.best is not None
    assert found.best is not None
    assert planned.best.keys == found.best.keys


@pytest.mark.parametrize("name", ["17-phone5", "57-phone-bar-lost"])
def test_questions_and_what_is_at_stake_are_those_of_ask(name: str) -> None:
    """`ask` proves what a bad answer costs; here the nearest bad answers are tried, of the plan alone."""
    case = vignette(name)

    found, asked = so_far(case, STARTER), ask(case, STARTER)

    assert {entry.question for entry in asked.asked} == {entry.question for entry in found.weighed}
    ruinous = {entry.question for entry in asked.asked if entry.stake("now") == inf}
    assert ruinous == set(found.decisive)


def test_what_costs_most_is_asked_first() -> None:
    found = so_far(vignette("17-phone5"), STARTER)
    worst = [entry.worst or 0.0 for entry in found.weighed]

    assert sorted(worst, reverse=True) == worst
    finite = [cost for cost in worst if cost < inf]
    assert found.best is not None
    assert max([*finite, found.best.cost.high]) == found.dearest


def test_what_was_asked_is_not_asked_again_and_the_order_stays() -> None:
    case = vignette("17-phone5")
    first = so_far(case, STARTER)
    passed = first.weighed[0].question.places

    then = so_far(case, STARTER, passed=passed, before=first)

    assert first.weighed[1:] == then.weighed
    assert first.weighed[:1] == then.unknown


def test_what_is_not_known_stays_in_the_price() -> None:
    """Nobody knows the undercut: what a bad one would cost does not go away by that."""
    case = vignette("17-phone5")
    first = so_far(case, STARTER)
    every = [place for entry in first.weighed for place in entry.question.places]

    then = so_far(case, STARTER, passed=every, before=first)

    assert () == then.weighed
    assert (first.dearest, set(first.decisive)) == (then.dearest, set(then.decisive))


def test_nothing_is_weighed_without_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """The questions are there all the same."""
    monkeypatch.setattr(module, "WEIGHED_S", 0.0)
    case = vignette("17-phone5")

    hurried = so_far(case, STARTER)

    assert None in {entry.worst for entry in hurried.weighed}
    monkeypatch.setattr(module, "WEIGHED_S", 60.0)
    later = so_far(case, STARTER, before=hurried)
    assert None not in {entry.worst for entry in later.weighed}


def of(case: Case, **patient: object) -> SoFar:
    return so_far(case.model_copy(update={"patient": case.patient.model_copy(update=patient)}), STARTER)


def test_hands_are_asked_about_where_a_weak_one_could_not_lift_the_edge() -> None:
    """Strong magnets, welds and four balls hold more than a weak hand does; one polymer clip does not."""
    light = so_far(vignette("01-lower2-lost-clip").model_copy(update={"patient": type(CASE.patient)()}), STARTER)
    assert light.best is not None

    weak = STARTER.defaults.pull_n.weak
    asked = HAND in beside(light)

    assert asked is (light.best.peel_n > weak)


CASE = vignette("01-lower2-lost-clip")


def test_what_a_grinder_bites_on_is_asked_where_it_matters() -> None:
    """Elastomer and soft polymer are advised against under a grinder, against natural teeth and implants."""
    assert GRINDS in beside(of(CASE, bruxism="unknown"))
    assert GRINDS not in beside(of(CASE, bruxism="no"))
    no_bar = vignette("60-fixed-upper4")
    assert OPPOSING in beside(of(no_bar, bruxism="yes"))
    assert OPPOSING not in beside(of(no_bar, bruxism="no"))
    assert OPPOSING not in beside(of(CASE, bruxism="no"))
    long_ends = vignette("02-lower4-balls").model_copy(update={"opposing": "unknown"})
    assert OPPOSING in beside(of(long_ends, bruxism="no"))  # an end may crack, by how hard is bitten


def test_metals_are_asked_about_where_a_part_has_one() -> None:
    found = of(CASE)
    assert found.best is not None

    assert any(candidate.attachment.metals for candidate in found.best.mix) is (METALS in beside(found))


def test_the_cap_comes_last_and_the_bar_off_only_at_a_dead_end() -> None:
    capped = CASE.model_copy(update={"money": CASE.money.model_copy(update={"cap": 1})})
    dead_end = so_far(capped, STARTER)

    assert Status.RELAXED is dead_end.status
    assert BAR_OFF == beside(dead_end)[0]
    assert CAP == beside(so_far(CASE, STARTER))[-1]
    assert BAR_OFF not in beside(so_far(CASE, STARTER))


@pytest.mark.parametrize("name", ["01-lower2-lost-clip", "60-fixed-upper4", "04-upper4-no-undercut"])
def test_what_is_not_asked_of_the_hand_changes_no_plan(name: str) -> None:
    """Planned anew with every hand, every carer and at any age where the conversation would not ask."""
    case = vignette(name)
    bare = case.model_copy(update={"patient": case.patient.model_copy(update={"hand": "unknown"})})
    found = so_far(bare, STARTER)
    if TAKES_OUT in beside(found):
        return
    assert found.best is not None
    for hand in ("weak", "usual", "strong"):
        for taken in ("patient", "carer"):
            for age in (30, 90):
                other = of(bare, hand=hand, takes_out=taken, age=age)
                assert other.best is not None
                assert found.best.keys == other.best.keys


def with_denture(name: str, **denture: object) -> SoFar:
    case = vignette(name)
    return so_far(case.model_copy(update={"denture": case.denture.model_copy(update=denture)}), STARTER)


DENTURES = {
    "not told": ("01-lower2-lost-clip", {}, {STATE}),
    "there": ("01-lower2-lost-clip", {"state": "present"}, {STATE, HOUSINGS}),
    "lost": ("01-lower2-lost-clip", {"state": "lost"}, {STATE}),
    "single upper implants": ("60-fixed-upper4", {"state": "none"}, {STATE, PALATE}),
}


@pytest.mark.parametrize(("name", "denture", "asked"), DENTURES.values(), ids=DENTURES)
def test_housings_and_palate_are_asked_about_where_they_matter(
    name: str, denture: dict[str, object], asked: set[object]
) -> None:
    assert asked == set(beside(with_denture(name, **denture))) & {STATE, HOUSINGS, PALATE}


TOLD = {
    "nothing": ("01-lower2-lost-clip", {}, set()),
    "lost": ("01-lower2-lost-clip", {"state": "lost", "housings": "yes"}, {Hazard.NO_DENTURE}),
    "never made": ("60-fixed-upper4", {"state": "none", "palate": "covered"}, {Hazard.NO_DENTURE}),
    "cracked": ("01-lower2-lost-clip", {"state": "cracked"}, {Hazard.DENTURE_CRACKED}),
    "housings": ("01-lower2-lost-clip", {"state": "present", "housings": "yes"}, {Hazard.HOUSINGS}),
    "open palate": ("60-fixed-upper4", {"state": "present", "palate": "open"}, {Hazard.OPEN_PALATE}),
    "open palate over a bar": ("37-upper4-no-grinder", {"palate": "open"}, set()),
}


@pytest.mark.parametrize(("name", "denture", "expected"), TOLD.values(), ids=TOLD)
def test_what_is_told_of_the_denture_comes_back_as_a_caution(
    name: str, denture: dict[str, object], expected: set[Hazard]
) -> None:
    best = with_denture(name, **denture).best
    assert best is not None

    of_the_denture = {Hazard.NO_DENTURE, Hazard.DENTURE_CRACKED, Hazard.HOUSINGS, Hazard.OPEN_PALATE}
    assert expected == {caution.hazard for caution in best.cautions} & of_the_denture
