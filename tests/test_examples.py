"""The worked examples answer what they are there to show."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.files.desk import Desk, open_desk
from solver.assess.assessment import Status
from solver.assess.problem import problem_of
from solver.case.measure import Measure
from solver.case.rules import Budget, EnoughSupports, Unsplint
from solver.case.schema import Room
from solver.choose.check import Checked, check
from solver.choose.plan import plan, tier_of
from solver.explore.strategies import Standing, Strategy, Way, strategies
from solver.fit.proposal import read_put

EXAMPLES = Path(__file__).parents[1] / "docs" / "examples"

STATUS = {
    "bar-off": Status.FITS,
    "hinge-against-resilience": Status.FITS,
    "lower-three-supports": Status.FITS_IF,
    "over-budget": Status.RELAXED,
    "two-angled-segments": Status.FITS,
    "unknown-undercut": Status.FITS_IF,
    "upper-keep-the-bar": Status.FITS,
}


def desk(name: str) -> Desk:
    return open_desk(str(EXAMPLES / f"{name}.yaml"))


def checked(name: str, **puts: str) -> Checked:
    opened = desk(name)
    mix = {site: read_put(text) for site, text in (puts or opened.case.mix).items()}
    return check(opened.case, opened.catalogue, mix)


def reach(found: Checked, demand: str) -> float:
    return next(r.reach for r in found.plan.reaches if r.demand == demand)


def test_every_example_has_its_answer() -> None:
    assert sorted(STATUS) == sorted(path.stem for path in EXAMPLES.glob("*.yaml"))


@pytest.mark.parametrize("name", STATUS)
def test_the_plan_of_an_example(name: str) -> None:
    opened = desk(name)

    assert opened.case.invented
    assert STATUS[name] is plan(opened.case, opened.catalogue).status


def test_a_clip_that_only_turns_binds_among_resilient_balls_and_one_with_play_frees_them() -> None:
    """Common practice, no source."""
    hinge = checked("hinge-against-resilience")
    play = checked("hinge-against-resilience", A="clip-round-metal-5", R="ball-flex-2.2", L="ball-flex-2.2")

    assert Status.NONE is hinge.status
    assert reach(hinge, "whole") < 0.1
    assert Status.FITS is play.status
    assert all(r.reach > 1 - 1e-6 for r in play.plan.reaches)


def test_clips_on_two_axes_lose_the_hinge_that_one_keeps() -> None:
    """Principle: Misch, overdenture chapters (from memory); Shafie and Obeid p 18 (read in part)."""
    both = checked("two-angled-segments")
    one = checked("two-angled-segments", A="clip-round-polymer-5")

    assert reach(both, "left") < 0.5 < 1 - 1e-6 < reach(one, "left")


def test_over_budget_asks_for_the_cap_and_nothing_else() -> None:
    opened = desk("over-budget")
    best = plan(opened.case, opened.catalogue).best
    assert best is not None

    (given,) = best.given_up

    assert isinstance(given.rule, Budget)
    assert best.cost.high - 8000 == given.amount


def test_the_unknown_undercut_is_the_question() -> None:
    opened = desk("unknown-undercut")
    best = plan(opened.case, opened.catalogue).best
    assert best is not None

    assert "segments.A.undercut_mm" in map(str, best.questions)


def test_with_the_bar_off_only_supports_carry() -> None:
    opened = desk("bar-off")
    best = plan(opened.case, opened.catalogue).best
    assert best is not None

    assert {"support"} == {candidate.site.kind for candidate in best.mix}


def test_a_bar_that_is_cut_asks_for_its_alloy_and_one_left_whole_does_not() -> None:
    cut = checked("lower-three-supports", B="clip-round-metal-5 + deepen-undercut")
    whole = checked("two-angled-segments", B="clip-round-metal-5")

    alloy = "segments.A.alloy, segments.B.alloy, ends.R.alloy, ends.L.alloy"
    assert alloy in map(str, cut.plan.questions)
    assert "alloy" not in {question.of for question in whole.plan.questions}


def ways(name: str, **other: object) -> dict[Way, Strategy]:
    opened = desk(name)
    case = opened.case.model_copy(update=other)
    return {found.way: found for found in strategies(problem_of(case, opened.catalogue))}


def test_in_the_upper_jaw_the_bar_stays_though_it_may_come_off() -> None:
    """Bone of half the density: common practice, no source. Losses below four: Kern et al. 2016, read in abstract."""
    found = ways("upper-keep-the-bar")
    kept, off = found[Way.KEEP], found[Way.OFF]

    assert Standing.OPEN is kept.standing
    assert [EnoughSupports(4), Unsplint(3)] == [entry.rule for entry in off.needs]
    assert off.plan is not None
    assert {"S1", "S2", "S3"} >= {candidate.site.id for candidate in off.plan.mix}


def test_in_the_lower_jaw_single_studs_win_where_the_bar_takes_nothing_but_a_lining() -> None:
    """A lining alone takes less than even a stopgap promises."""
    found = ways("bar-off")
    kept = found[Way.KEEP]

    assert Standing.OPEN is found[Way.OFF].standing
    assert [Way.OFF] == [way for way, each in found.items() if each.standing is Standing.OPEN]
    assert Standing.WHAT_IF is kept.standing
    assert kept.plan is not None
    assert ["lining"] == [candidate.attachment.kind for candidate in kept.plan.mix]
    assert tier_of(kept.plan) is None


def test_with_less_space_the_bar_takes_not_even_a_lining() -> None:
    """11 mm for a bar overdenture: Carpentieri et al. 2019, read in abstract."""
    found = ways("bar-off", room=Room(space_mm=Measure(10.5), top_mm=Measure(4.0), breadth_mm=Measure(11.0)))

    assert Standing.OPEN is found[Way.OFF].standing
    assert Standing.CLOSED is found[Way.KEEP].standing
    assert found[Way.KEEP].plan is None
