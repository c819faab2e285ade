"""What the starter catalogue offers in cases of practice; common practice, no source, unless a test names one."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.load import load_catalogue
from solver.assess.problem import problem_of
from solver.case.money import Cost
from solver.case.schema import Case
from solver.fit.bench import Fit, fit
from solver.fit.needs import Verdict
from solver.fit.pricing import purse_of

CATALOGUE = load_catalogue()
HOLDS, ASK, SHORT, FAILS = Verdict
MONEY = {"currency": "EUR", "bench_per_hour": 50, "chair_per_hour": 120}
PATIENT = {"hand": "usual", "scans_expected": "no", "bruxism": "no"}


def bar_on_four(section: dict[str, Any], **more: Any) -> Case:
    """A lower bar on four implants with balls at both ends, all stretches alike."""
    teeth = {"S1": 44, "S2": 42, "S3": 32, "S4": 34}
    ball = {"length_mm": 8, "ball_mm": 2.25, "out_of_round_mm": 0.02, "tilt_deg": 4, "alloy": "gold"}
    return Case.model_validate(
        {
            "case": "four", "arch": "lower", "opposing": "denture", "money": MONEY, "patient": PATIENT,
            "room": {"space_mm": 16, "top_mm": 5, "breadth_mm": 11},
            "supports": {name: {"tooth": tooth} for name, tooth in teeth.items()},
            "segments": {
                name: {"between": pair, **section}
                for name, pair in (("A", ["S1", "S2"]), ("B", ["S2", "S3"]), ("C", ["S3", "S4"]))
            },
            "ends": {"R": {"on": "S1", **ball, **more.pop("ball", {})}, "L": {"on": "S4", **ball}},
            **more,
        },
        strict=False,
    )  # fmt: skip


def divergent(one_deg: float, other_deg: float) -> Case:
    """Two lower implants that lean apart, and no bar."""
    shared = {"connection": "documented", "top_mm": 1, "mobility": "firm", "bone": "enough"}
    return Case.model_validate(
        {
            "case": "divergent", "arch": "lower", "opposing": "denture", "money": MONEY, "patient": PATIENT,
            "room": {"space_mm": 10, "breadth_mm": 10},
            "supports": {
                name: {"tooth": tooth, "tilt_deg": tilt, "tilt_towards": towards, **shared}
                for name, tooth, tilt, towards in (("S1", 43, one_deg, 270), ("S2", 33, other_deg, 90))
            },
        },
        strict=False,
    )  # fmt: skip


ROUND = {"section": "round", "width_mm": 1.8, "height_mm": 1.8, "undercut_mm": 0.4, "gap_mm": 2, "alloy": "gold"}
SMOOTH = {**ROUND, "width_mm": 2.3, "height_mm": 2.3, "undercut_mm": 0, "alloy": "cobalt-chromium"}
MILLED = {
    "section": "parallel",
    "width_mm": 4.5,
    "height_mm": 5,
    "undercut_mm": 0,
    "gap_mm": 1.5,
    "alloy": "titanium",
}


def fitted(case: Case) -> Fit:
    return fit(case, CATALOGUE, purse_of(case, CATALOGUE))


def best(case: Case, site: str) -> dict[str, Verdict]:
    """The best verdict of each attachment at a site."""
    found: dict[str, Verdict] = {}
    for candidate in fitted(case).at(site).every:
        name = candidate.attachment.id
        found[name] = min(candidate.verdict, found.get(name, FAILS))
    return found


def test_a_milled_bar_takes_threaded_studs_once_it_is_known_to_come_off() -> None:
    """About 4 mm wide and 3 mm high are enough."""
    asked = best(bar_on_four(MILLED), "A")
    known = best(bar_on_four(MILLED, bar={"fixing": "screwed", "screws": "tight"}), "A")
    stuck = best(bar_on_four(MILLED, bar={"fixing": "screwed", "screws": "stuck"}), "A")

    for insert in ("light", "medium", "strong"):
        name = f"stud-thread-{insert}"
        assert (ASK, HOLDS, FAILS) == (asked[name], known[name], stuck[name])


@pytest.mark.parametrize(
    ("told", "verdict"),
    [
        pytest.param({}, ASK, id="nobody told"),
        pytest.param({"fixing": "screwed", "screws": "tight"}, HOLDS, id="comes off"),
        pytest.param({"fixing": "cemented"}, FAILS, id="cemented"),
    ],
)
def test_a_bar_without_undercut_is_slimmed_at_the_bench_or_not_at_all(told: dict[str, str], verdict: Verdict) -> None:
    clips = best(bar_on_four(SMOOTH, bar=told), "A")

    assert verdict is clips["clip-round-metal-5"]


def test_a_bar_that_takes_nothing_may_be_lined_over() -> None:
    """No undercut, a bar that does not come off: silicone alone is left on the stretches."""
    found = best(bar_on_four(SMOOTH, bar={"fixing": "cemented"}), "A")

    assert {"lining-silicone": HOLDS} == {name: v for name, v in found.items() if v is not FAILS}


@pytest.mark.parametrize(
    ("neck", "metal"),
    [
        pytest.param("unknown", ASK, id="not measured: asked of metal alone"),
        pytest.param(1.5, HOLDS, id="stout"),
        pytest.param(1.3, HOLDS, id="just stout enough"),
        pytest.param("1.35 +- 0.1", ASK, id="within the error"),
        pytest.param(1.2, FAILS, id="thin"),
    ],
)
def test_a_thin_neck_is_spared_a_metal_female(neck: float | str, metal: Verdict) -> None:
    found = best(bar_on_four(ROUND, ball={"neck_mm": neck}), "R")

    assert metal is found["ball-metal-2.25"]
    assert (HOLDS, HOLDS) == (found["ball-ring-2.25"], found["ball-flex-2.25"])


def test_a_grinder_on_natural_teeth_gets_metal_unless_something_is_accepted() -> None:
    case = bar_on_four(ROUND, opposing="natural", patient={**PATIENT, "bruxism": "yes"}, ball={"neck_mm": 1.6})
    clips, females = best(case, "B"), best(case, "R")

    assert (HOLDS, SHORT) == (clips["clip-round-metal-5"], clips["clip-round-polymer-5"])
    assert (HOLDS, SHORT, SHORT) == tuple(females[f"ball-{of}-2.25"] for of in ("metal", "ring", "flex"))


def test_a_proven_nickel_allergy_keeps_steel_housings_out_and_leaves_titanium_ones() -> None:
    case = bar_on_four(ROUND, patient={**PATIENT, "sensitivities": ["nickel"]})
    females = best(case, "R")

    assert (FAILS, HOLDS) == (females["ball-ring-2.25"], females["ball-flex-2.25"])


@pytest.mark.parametrize(
    ("one_deg", "other_deg", "wide", "usual"),
    [
        pytest.param(5, 5, HOLDS, HOLDS, id="upright"),
        pytest.param(12, 13, HOLDS, SHORT, id="25 apart"),
        pytest.param(20, 20, HOLDS, FAILS, id="40 apart"),
        pytest.param(21, 5, FAILS, FAILS, id="one beyond 20"),
    ],
)
def test_divergent_implants_take_the_insert_made_for_them(
    one_deg: float, other_deg: float, wide: Verdict, usual: Verdict
) -> None:
    """20 degrees at each implant, 40 between two: Shafie and Obeid p 5 (read in part)."""
    found = best(divergent(one_deg, other_deg), "S1")

    assert (wide, usual) == (found["stud-single-tilted"], found["stud-single-medium"])
    assert FAILS is found["ball-single-ring-2.25"] or one_deg <= 15


def test_two_implants_25_degrees_apart_take_the_same_stud_with_nothing_to_allow_or_pay() -> None:
    """No bar stands there: nothing is taken off."""
    problem = problem_of(divergent(12, 13), CATALOGUE)
    both = [problem.option_of[f"{site}=stud-single-tilted"] for site in ("S1", "S2")]

    assert [((), (), HOLDS)] * 2 == [(o.needs_waived, o.candidate.reworks, o.candidate.verdict) for o in both]
    assert sum((o.candidate.cost for o in both), Cost()) == problem.cost_of([o.candidate for o in both])
