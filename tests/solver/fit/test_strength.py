"""Whether a cut bar bears the bite: what is judged, how, and the same by slicing the section."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.models import Rework
from solver.assess.problem import problem_of
from solver.audit.certificate_bar import check_bar, sliced_modulus_mm3
from solver.case.measure import Measure
from solver.case.sites import Fact
from solver.errors import InternalFault
from solver.fit.bar_strength import Cut, bar_stress, judge_strength, section_left, weakens
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.handbook.sections import NothingLeft, Section, ellipse, necked
from solver.handbook.sourced import Interval
from tests.referee.random_case import INVENTED
from tests.solver.small import need, part, small_case, small_problem, step, stock

BITE_N = Interval(100.0, 150.0)


def facts(section: str = "round", alloy: str = "titanium-alloy", **sizes: object) -> dict[str, Fact]:
    """A stretch 15 mm long, 2 mm wide and 3 mm high with an undercut of 0.3 mm, unless said."""
    plain: dict[str, object] = {"length_mm": 15, "width_mm": 2, "height_mm": 3, "undercut_mm": 0.3}
    return {"section": section, "alloy": alloy, **{of: Measure.read(size) for of, size in (plain | sizes).items()}}


def rework(**more: Any) -> Rework:
    return Rework.model_validate(step("cut", "segment", **more), strict=False)


DEEPEN = rework(makes={"undercut_mm": 0.4})
TAP = rework(hole_mm={"value": 1.5, "source": INVENTED})
LOWER = rework(changes={"height_mm": -0.5})


@pytest.mark.parametrize(
    ("done", "yes"),
    [
        (DEEPEN, True),
        (TAP, True),
        (LOWER, True),
        (rework(makes={"width_mm": 1.8}), True),
        (rework(changes={"undercut_mm": 0.1}), True),
        (rework(changes={"height_mm": 0.5}), False),
        (rework(changes={"breadth_mm": -1.0}), False),
        (rework(makes={"ball_mm": 2.2}), False),
        (rework(), False),
    ],
    ids=["undercut", "hole", "lower", "slim", "deeper", "built up", "denture", "ball", "nothing"],
)
def test_what_weakens_a_bar(done: Rework, yes: bool) -> None:
    assert yes is weakens(done)


JUDGED: dict[str, tuple[dict[str, Fact], Rework, Verdict]] = {
    "bears it": (facts(), DEEPEN, Verdict.HOLDS),
    "long and soft": (facts(alloy="gold", length_mm=40, height_mm=2), DEEPEN, Verdict.FAILS),
    "which gold?": (facts(alloy="gold", length_mm=40), DEEPEN, Verdict.ASK),
    "alloy not known": (facts(alloy="unknown"), DEEPEN, Verdict.ASK),
    "no alloy on record would do": (facts(alloy="unknown", height_mm=0.6), DEEPEN, Verdict.FAILS),
    "shape not known": (facts("unknown"), DEEPEN, Verdict.ASK),
    "width not known": (facts(width_mm="unknown"), DEEPEN, Verdict.ASK),
    "round of unknown height is as high as wide": (facts(height_mm="unknown"), DEEPEN, Verdict.HOLDS),
    "ovoid of unknown height": (facts("ovoid", height_mm="unknown"), DEEPEN, Verdict.ASK),
    "keyhole of unknown neck": (facts("keyhole", undercut_mm="unknown"), LOWER, Verdict.ASK),
    "keyhole": (facts("keyhole", height_mm=4), LOWER, Verdict.HOLDS),
    "parallel, lowered": (facts("parallel"), LOWER, Verdict.HOLDS),
    "hole as wide as the bar": (facts(width_mm=1.5), TAP, Verdict.FAILS),
    "hole perhaps as wide": (facts(width_mm="1.8 +- 0.5"), TAP, Verdict.ASK),
    "no clear length": (facts(length_mm=-1), DEEPEN, Verdict.HOLDS),
    "no clear length, alloy not known": (facts(alloy="unknown", length_mm=-1), DEEPEN, Verdict.HOLDS),
}


@pytest.mark.parametrize(("bar", "done", "verdict"), JUDGED.values(), ids=JUDGED)
def test_verdict_on_a_cut_bar(bar: dict[str, Fact], done: Rework, verdict: Verdict) -> None:
    (found,) = judge_strength(bar, [done], BITE_N)

    assert verdict is found.verdict
    assert (verdict is Verdict.FAILS and found.have != "nothing left") == (found.short_by > 0)
    assert found.waiver is None


@pytest.mark.parametrize(
    ("bar", "done", "have"),
    [
        (facts("parallel"), LOWER, "90 to 135 MPa"),
        (facts("parallel", height_mm="3 +- 3"), LOWER, "19 MPa or more"),
        (facts("parallel", length_mm=0), LOWER, "0 MPa"),
        (facts(width_mm=1.5), TAP, "nothing left"),
        (facts("unknown"), LOWER, "unknown"),
    ],
    ids=["both ends", "perhaps nothing left", "no length", "a hole as wide as the bar", "shape not known"],
)
def test_what_is_said_of_the_stress(bar: dict[str, Fact], done: Rework, have: str) -> None:
    """P L / 8 over b h^2 / 6 (Roark, memory), by hand: 100 to 150 N, 15 mm, 2 mm wide, 2.5 or at most 5.5 mm high."""
    (found,) = judge_strength(bar, [done], BITE_N)

    assert have == found.have


def test_a_stretch_without_length_neither_bends_nor_sags() -> None:
    found = bar_stress(facts("parallel", length_mm=0), Cut(), BITE_N)

    assert found is not None
    assert [Interval(0, 0)] * 3 == [found.clamped_mpa, found.free_mpa, found.sag_mm]


def test_only_a_stretch_that_is_cut_is_judged() -> None:
    """What stands unchanged is left alone, and so are ends and supports, of which no section is known."""
    ball: dict[str, Fact] = {"alloy": "gold", "ball_mm": Measure(2.2)}

    assert [] == [*judge_strength(facts(width_mm=0.5), [rework(makes={"ball_mm": 2.2})], BITE_N)]
    assert [] == [*judge_strength(ball, [TAP], BITE_N)]


sizes = st.floats(1.0, 5.0)


@given(
    section=st.sampled_from(["round", "ovoid", "parallel", "keyhole"]),
    width=sizes, height=sizes, undercut=st.floats(0.0, 0.4), cut=st.booleans(), hole=st.floats(0.0, 0.9),
)  # fmt: skip
def test_sections_left_agree_with_slices(
    section: str, width: float, height: float, undercut: float, cut: bool, hole: float
) -> None:
    """Closed forms against two thousand slices, as `verify` cuts them."""
    bar = facts(section, width_mm=width, height_mm=height, undercut_mm=undercut)
    found = section_left(bar, Cut(cut, hole), strong=True)
    sliced = {"width_mm": width, "height_mm": height, "undercut_mm": undercut}

    assert found is not None
    assert found.modulus_mm3 == pytest.approx(sliced_modulus_mm3(section, sliced, cut, hole), rel=0.01)


@pytest.mark.parametrize(("section", "cut"), [("parallel", False), ("parallel", True), ("round", False)])
def test_an_undercut_counts_only_where_there_is_a_neck(section: str, cut: bool) -> None:
    """An undercut of 2 mm is deeper than half the bar: parallel sides, or a round bar as it was, know no neck."""
    sizes = {"width_mm": 2.6, "height_mm": 3.2, "undercut_mm": 2.0}

    assert sliced_modulus_mm3(section, sizes, cut, 0.0) == sliced_modulus_mm3(
        section, sizes | {"undercut_mm": 0.0}, undercut=False, hole_mm=0.0
    )


@given(width=sizes, height=sizes)
def test_a_neck_as_wide_as_the_bar_leaves_it_whole(width: float, height: float) -> None:
    whole, left = ellipse(width, height), necked(width, height, width)

    assert whole.second_moment_mm4 == pytest.approx(left.second_moment_mm4)
    assert whole.area_mm2 == pytest.approx(left.area_mm2)


def test_a_neck_that_a_hole_takes_leaves_half_a_round_bar() -> None:
    """(pi/8 - 8/(9 pi)) r^4 = 0.109757 r^4 about its own centroid (Roark, memory)."""
    half: Section = necked(2.0, 2.0, 1e-9, hole_mm=1e-9)

    assert 0.109757 == pytest.approx(half.second_moment_mm4, rel=1e-5)
    assert 1.0 == half.bottom_mm


def test_a_hole_as_wide_as_a_necked_bar_leaves_nothing() -> None:
    with pytest.raises(NothingLeft):
        necked(2.0, 2.0, 1.2, hole_mm=2.0)


@given(bite=st.floats(1, 300), width=st.floats(1.5, 4), more=st.floats(1, 3), error=st.floats(0, 0.4))
def test_more_bite_less_metal_and_doubt_never_help(bite: float, width: float, more: float, error: float) -> None:
    now = bar_stress(facts(width_mm=width), Cut(True), Interval(bite, bite))
    harder = bar_stress(facts(width_mm=width), Cut(True), Interval(bite * more, bite * more))
    slimmer = bar_stress(facts(width_mm=width / more), Cut(), Interval(bite, bite))
    whole = bar_stress(facts(width_mm=width), Cut(), Interval(bite, bite))
    vague = bar_stress(facts(width_mm=f"{width} +- {error}"), Cut(True), Interval(bite, bite))
    assert now and harder and slimmer and whole and vague  # noqa: PT018 - for the type checker

    assert now.clamped_mpa.low <= harder.clamped_mpa.low
    assert whole.clamped_mpa.low <= slimmer.clamped_mpa.low + 1e-9
    assert vague.clamped_mpa.low <= now.clamped_mpa.low + 1e-9
    assert vague.clamped_mpa.high >= now.clamped_mpa.high - 1e-9
    for found in (now, vague):
        assert found.clamped_mpa.low <= found.free_mpa.low
        assert found.sag_mm.low <= found.sag_mm.high


def _cut_clip(**changes: Any) -> tuple[list[Candidate], Any]:
    """Clips on the small case that need an undercut which only deepening gives."""
    clip = part("clip", needs=[need("undercut_mm", at_least=0.35)])
    catalogue = stock(clip, steps=(step("deepen", "segment", makes={"undercut_mm": 0.4}),))
    problem = problem_of(small_case(**changes), catalogue)
    return [c for c in problem.fit.at("B").every if c.extra_reworks], problem


def test_a_candidate_whose_bar_would_yield_is_out_with_its_numbers() -> None:
    """Round 1.8 mm over 16 mm of gold under 700 N, clamped: far above 600 MPa."""
    (found,), _ = _cut_clip(bite={"force_n": 700}, segments={"B": {"alloy": "gold"}})

    (reason,) = [j for j in found.judgements if j.verdict is Verdict.FAILS]
    assert ("bar strength", "at most 360 to 600 MPa (gold)", "deepen") == (reason.label, reason.want, reason.step)
    assert reason.short_by > 1000


def test_an_alloy_that_is_not_known_is_asked_for() -> None:
    (found,), _ = _cut_clip(segments={"B": {"alloy": "unknown"}})

    assert ["segments.B.alloy, ends.E.alloy"] == [*map(str, found.questions)]
    assert [] == [*found.waived]


def test_verify_finds_a_bar_that_yields() -> None:
    """A candidate that was judged under a weak bite, looked at again under a strong one."""
    (weak,), problem = _cut_clip()
    strong = small_case(bite={"force_n": 700})
    after = {**weak.site.facts, "undercut_mm": Measure(0.4)}

    check_bar(problem.case, weak, after)
    with pytest.raises(InternalFault, match="yields"):
        check_bar(strong, weak, after)


def test_a_stretch_of_uncertain_length_bends_least_as_its_shortest_and_most_as_its_longest() -> None:
    site = small_problem(stock(part("clip"))).fit.at("B").site
    found = [
        bar_stress({**site.facts, "length_mm": length}, Cut(), Interval(100.0, 100.0))
        for length in (Measure(18.0), Measure(20.0, 2.0), Measure(22.0))
    ]
    shortest, uncertain, longest = (stress.clamped_mpa for stress in found if stress)

    assert (shortest.low, longest.high) == pytest.approx((uncertain.low, uncertain.high))
    assert shortest.low < 0.9 * longest.low
