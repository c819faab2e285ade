"""Candidates of a site: reworks that help, counts by length, room, metals, scans and the end that stays bare."""

from __future__ import annotations

from typing import Any

import pytest

from solver.case.measure import UNKNOWN, Measure
from solver.case.schema import Case
from solver.case.sites import Fact, reworked
from solver.fit.bench import NoSuchSite, SiteFit, fit
from solver.fit.needs import Verdict
from solver.fit.pricing import purse_of
from tests.referee.random_case import INVENTED
from tests.solver.small import need, part, small_case, step, stock, waive

HOLDS, ASK, SHORT, FAILS = Verdict
DEEPEN = step(
    "deepen", "segment", makes={"undercut_mm": 0.35}, tolerance_mm=0.02, needs=[need("width_mm", at_least=1.7)]
)
SLIM = step("slim", "segment", changes={"width_mm": -0.3})
GRIPS = part("clip", needs=[need("undercut_mm", at_least=0.3), need("width_mm", at_least=1.7, at_most=1.9)])


def at(site: str, *parts: dict[str, Any], steps: tuple[dict[str, Any], ...] = (), **changes: Any) -> SiteFit:
    case: Case = small_case(**changes)
    catalogue = stock(*parts, steps=steps)
    return fit(case, catalogue, purse_of(case, catalogue)).at(site)


def verdicts(found: SiteFit) -> dict[str, Verdict]:
    return {candidate.label: candidate.verdict for candidate in found.every}


def bar(**facts: Any) -> dict[str, Any]:
    return {"segments": {"B": facts}}


@pytest.mark.parametrize(
    ("expected", "facts"),
    [
        pytest.param({"clip": HOLDS}, {}, id="nothing to do: no rework is tried"),
        pytest.param({"clip": FAILS, "clip + deepen": HOLDS}, {"undercut_mm": 0}, id="made true"),
        pytest.param({"clip": ASK, "clip + deepen": HOLDS}, {"undercut_mm": "unknown"}, id="need not be asked"),
        pytest.param({"clip": FAILS, "clip + slim": HOLDS}, {"width_mm": 2.1}, id="idle deepen is not kept"),
        pytest.param(
            {"clip": FAILS, "clip + deepen": FAILS, "clip + slim": FAILS, "clip + deepen + slim": HOLDS},
            {"undercut_mm": 0, "width_mm": 2.1},
            id="both, each gains something",
        ),
        pytest.param(
            {"clip": FAILS, "clip + deepen": FAILS, "clip + deepen + slim": FAILS},
            {"undercut_mm": 0, "width_mm": 1.6},
            id="too thin to deepen",
        ),
    ],
)
def test_reworks_that_help_are_tried_and_idle_ones_are_not(
    expected: dict[str, Verdict], facts: dict[str, Any]
) -> None:
    assert expected == verdicts(at("B", GRIPS, steps=(DEEPEN, SLIM), **bar(**facts)))


def made(name: str, of: str, value: float, **more: Any) -> dict[str, Any]:
    return step(name, "segment", makes={of: value}, tolerance_mm=0.01, **more)


GROOVE = made("groove", "undercut_mm", 0.4)


@pytest.mark.parametrize(
    ("expected", "facts", "steps"),
    [
        pytest.param(["clip", "clip + deepen"], {"undercut_mm": 0, "width_mm": 1.6}, (DEEPEN, SLIM),
                     id="what only the first step needs is not mended by another"),
        pytest.param(["clip", "clip + deepen", "clip + groove"], {"undercut_mm": 0, "gap_mm": 0}, (DEEPEN, GROOVE),
                     id="of two ways to one end either, not both, though something else fails"),
        pytest.param(["clip", "clip + deepen", "clip + groove"],
                     {"undercut_mm": 0, "width_mm": 1.6}, (DEEPEN, GROOVE),
                     id="nor both where one of them fails by itself"),
    ],
)  # fmt: skip
def test_reworks_are_tried_for_what_the_attachment_needs(
    expected: list[str], facts: dict[str, Any], steps: tuple[dict[str, Any], ...]
) -> None:
    """It asks for an undercut and a gap; the width matters to the step that deepens alone."""
    clip = part("clip", needs=[need("undercut_mm", at_least=0.3), need("gap_mm", at_least=0.5)])
    found = verdicts(at("B", clip, steps=steps, **bar(**{"gap_mm": 1, **facts})))

    assert sorted(expected) == sorted(found)


def test_no_more_than_two_extra_reworks_are_tried_on_a_site() -> None:
    """Three quantities are short, each with a step that mends it: no set of two mends them all."""
    short = ("undercut_mm", "gap_mm", "height_mm")
    clip = part("clip", needs=[need(of, at_least=2) for of in short])
    steps = tuple(made(of[:-3], of, 2.1) for of in short)
    found = at("B", clip, steps=steps, **bar(**dict.fromkeys(short, 1))).every

    assert {0, 1, 2} == {len(candidate.extra_reworks) for candidate in found}
    assert {FAILS} == {candidate.verdict for candidate in found}


def test_a_rework_leaves_its_own_tolerance() -> None:
    facts: dict[str, Fact] = {"undercut_mm": UNKNOWN, "width_mm": Measure(2.1, 0.1), "section": "round"}
    steps = stock(steps=(DEEPEN, SLIM)).reworks

    assert Measure(0.35, 0.02) == reworked(facts, steps["deepen"])["undercut_mm"]
    assert "1.8 +- 0.1" == str(reworked(facts, steps["slim"])["width_mm"])
    assert facts["undercut_mm"] is UNKNOWN


@pytest.mark.parametrize(
    ("expected", "length"),
    [
        ({"clip": HOLDS, "clip x2": HOLDS, "clip x3": HOLDS}, 17),
        ({"clip": HOLDS, "clip x2": HOLDS, "clip x3": FAILS}, 16.9),
        ({"clip": HOLDS, "clip x2": ASK, "clip x3": FAILS}, "11 +- 0.5"),
        ({"clip": FAILS, "clip x2": FAILS, "clip x3": FAILS}, 4.9),
        ({"clip": ASK, "clip x2": ASK, "clip x3": ASK}, "unknown"),
    ],
    ids=["3 x 5 + 2 gaps", "a tenth short", "within the error", "none", "unknown"],
)
def test_as_many_as_the_length_takes(expected: dict[str, Verdict], length: float | str) -> None:
    clip = part("clip", length_mm=5, spacing_mm=1, most=3)

    assert expected == verdicts(at("B", clip, **bar(length_mm=length)))


@pytest.mark.parametrize(
    ("verdict", "room"),
    [(HOLDS, 8.0), (SHORT, 7.4), (FAILS, 7.39), (ASK, "8 +- 0.1"), (ASK, "unknown")],
    ids=["just enough", "thin base", "too thin", "within the error", "unknown"],
)
def test_the_stack_stays_under_the_opposing_teeth(verdict: Verdict, room: float | str) -> None:
    """Part 2, housing 1, spacer 0.5, acrylic 2 and tooth 2.5 are 8 mm; a thin base may lack 0.6."""
    tall = part("clip", stack={"part": 2, "housing": 1, "spacer": 0.5, "source": INVENTED})

    assert {"clip": verdict} == verdicts(at("B", tall, room={"top_mm": "unknown"}, **bar(room_mm=room)))


def test_the_denture_may_have_its_own_acrylic_and_tooth() -> None:
    found = at("B", part("clip"), denture={"acrylic_mm": 1, "tooth_mm": 0}, **bar(room_mm=1))

    assert {"clip": HOLDS} == verdicts(found)


@pytest.mark.parametrize(
    ("verdict", "metals", "sensitive"),
    [
        (HOLDS, ["nickel"], []),
        (HOLDS, ["nickel"], ["cobalt"]),
        (FAILS, ["nickel"], ["Nickel"]),
        (FAILS, ["Nickel"], ["nickel"]),
    ],
    ids=["no sensitivity", "another metal", "capital in the case", "capital in the catalogue"],
)
def test_a_metal_that_hurts_is_out(verdict: Verdict, metals: list[str], sensitive: list[str]) -> None:
    found = at("B", part("clip", metals=metals), patient={"sensitivities": sensitive})

    assert {"clip": verdict} == verdicts(found)


def of_patient(found: SiteFit) -> list[tuple[str, str, Verdict, float]]:
    """What a part has and is asked for because of the patient: the verdict, the amount short."""
    (candidate,) = found.every
    asked = (j for j in candidate.judgements if j.of in ("metals", "scans"))
    return [(str(j.have), j.want, j.verdict, j.short_by) for j in asked]


def test_a_metal_that_hurts_is_named_and_has_no_amount() -> None:
    """It is there or it is not, and no answer changes it."""
    alloy = part("clip", metals=["Nickel", "gold", "cobalt"])
    found = at("B", alloy, patient={"sensitivities": ["nickel", "cobalt"]})

    assert [("Nickel, cobalt", "none the patient is sensitive to", FAILS, 0.0)] == of_patient(found)


@pytest.mark.parametrize(("verdict", "scans"), [(HOLDS, "no"), (SHORT, "yes"), (ASK, "unknown")])
def test_magnets_and_scans(verdict: Verdict, scans: str) -> None:
    found = at("B", part("magnet", "magnet", magnetic=True), patient={"scans_expected": scans})

    assert {"magnet": verdict} == verdicts(found)
    assert [(scans, "none expected", verdict, 0.0)][: verdict is not HOLDS] == of_patient(found)


@pytest.mark.parametrize(
    ("verdict", "room"),
    [(HOLDS, 4.5), (SHORT, 4.0), (FAILS, 3.0), (ASK, "unknown")],
    ids=["acrylic and tooth fit", "thin", "no room", "unknown"],
)
def test_an_end_may_stay_bare_where_a_tooth_fits_above_it(verdict: Verdict, room: float | str) -> None:
    bare = at("E", room={"top_mm": "unknown"}, ends={"E": {"room_mm": room}}).bare

    assert bare is not None
    assert verdict is bare.verdict


def test_a_segment_may_always_stay_bare() -> None:
    assert at("B").bare is None


def test_steps_always_go_with_their_attachment() -> None:
    """The ball is judged as the cap leaves it; the step is not part of the label."""
    cap = step("cap", "end", makes={"ball_mm": 2.2}, always_with=True, needs=[need("neck_mm", at_least=1.2)])
    ball = part("ball", "ball", "end", steps=["cap"], needs=[need("ball_mm", at_least=2.15, at_most=2.25)])

    found = at("E", ball, steps=(cap,), ends={"E": {"ball_mm": 1.9, "neck_mm": 1.4}}).every

    assert [("ball", HOLDS, ("cap",))] == [(c.label, c.verdict, tuple(r.id for r in c.reworks)) for c in found]


@pytest.mark.parametrize(
    ("expected", "own", "facts"),
    [
        (["clip"], ["deepen"], {"undercut_mm": 0}),
        (["clip", "clip + slim"], ["deepen"], {"undercut_mm": 0, "width_mm": 2.3}),
        (["clip"], ["deepen"], {"undercut_mm": 0, "width_mm": 1.6}),
        (["clip"], ["slim", "deepen"], {"undercut_mm": 0, "width_mm": 2.4}),
    ],
    ids=["mends", "beside another", "fails itself", "still too wide"],
)
def test_a_step_that_goes_with_the_attachment_is_not_done_again_because_it_would_help(
    expected: list[str], own: list[str], facts: dict[str, Any]
) -> None:
    """`deepen` and `slim` may be done anywhere; here the clip names them under `steps`."""
    clip = GRIPS | {"steps": own}

    found = at("B", clip, steps=(DEEPEN, SLIM), **bar(**facts)).every

    assert expected == sorted(candidate.label for candidate in found)
    assert all(len({r.id for r in c.reworks}) == len(c.reworks) for c in found)


def test_a_step_of_its_own_is_paid_once() -> None:
    dear = DEEPEN | {"price": {"low": 30, "high": 40, "source": INVENTED}}
    (clip,) = at("B", GRIPS | {"steps": ["deepen"]}, steps=(dear,), **bar(undercut_mm=0)).every

    assert (10_00 + 30_00, 12_00 + 40_00) == (clip.cost.low, clip.cost.high)


def test_a_need_of_a_step_that_is_short_is_waived_at_the_site() -> None:
    cut = step("cut", "end", always_with=True, needs=[need("neck_mm", at_least=1.5, waive=waive(0.5))])

    (found,) = at("E", part("ball", "ball", "end", steps=["cut"]), steps=(cut,), ends={"E": {"neck_mm": 1.2}}).usable

    assert (("E", "neck_mm"),) == found.waived


def test_a_site_that_is_not_there() -> None:
    with pytest.raises(NoSuchSite) as caught:
        at("Q")

    assert ("no site is called 'Q'", "known: B, E, R, L") == (caught.value.problem, caught.value.advice)
