"""What a bar is told of itself: the stress of what reaches it, what its alloy bears, and when that is a caution."""

from __future__ import annotations

import math
from typing import Any

import pytest

from solver.assess.problem import problem_of
from solver.case.layout import Layout
from solver.fit.candidate import Candidate
from solver.handbook.sourced import Interval, Place
from solver.mechanics.bar_bending import Bent, bent_bar
from solver.mechanics.shared_bites import Borne, borne
from tests.solver.small import FREE, part, small_case, stock

TURNS = {of: reach for of, reach in FREE.items() if of.endswith("deg")}
CATALOGUE = stock(part("ball", "ball", "end", movement={**TURNS, "source": "invented"}))
"""A ball that turns any way and goes nowhere."""


def bitten(*sites: str, **changes: Any) -> tuple[Borne, dict[str, Bent]]:
    """The small case with the ball fitted at its end, or nothing."""
    case = small_case(**changes)
    usable = problem_of(case, CATALOGUE).fit.usable
    mix: list[Candidate] = [c for c in usable if c.site.id in sites and c.attachment.kind == "ball"]
    assert len(mix) == len(sites)
    found = borne(case, Layout(case), mix, CATALOGUE.defaults)
    return found, {each.site: each for each in bent_bar(found)}


def test_a_bar_that_nothing_reaches_is_not_bent() -> None:
    """The whole bite at the tip of every end, which used to be told, is not what a denture does."""
    _, bar = bitten(bite={"force_n": 300})

    assert {"B": (0, 0), "E": (0, 0)} == {name: tuple(each.stress_mpa or ()) for name, each in bar.items()}
    assert not any(each.bends or each.cracks for each in bar.values())


def test_an_end_bends_at_its_collar_by_what_its_ball_bears() -> None:
    """F a / Z by hand with a = 8 - 2 mm and Z = pi 1.8^3 / 32 = 0.57256 mm3; F is all that the supports bear."""
    found, bar = bitten("E", bite={"force_n": 300})
    borne_n = max(abs(end) * bite.force_n for bite in found.bites for end in (bite.share.low, bite.share.high))

    assert borne_n > 10
    stress = bar["E"].stress_mpa
    assert stress
    assert borne_n * 6 / 0.57256 == pytest.approx(stress.high, rel=2e-3)


def test_in_chewing_the_bar_is_put_under_less() -> None:
    """40 to 100 N of chewing (memory) against a bite of 200 N."""
    _, bar = bitten("E", bite={"force_n": 200})
    stress, chewing = bar["E"].stress_mpa, bar["E"].chewing_mpa

    assert stress
    assert (0.2 * stress.low, 0.5 * stress.high) == pytest.approx(chewing)


def test_what_an_alloy_bears_for_years() -> None:
    """0.4 to 0.6 of its proof stress, over a notch of 1.5 to 2 (memory); titanium 6Al-4V 780 MPa."""
    _, bar = bitten()

    assert (0.4 * 780 / 2, 0.6 * 780 / 1.5) == pytest.approx(tuple(bar["B"].lasting_mpa))
    assert (780, 780) == tuple(bar["B"].proof_mpa)


def test_a_bar_that_is_not_measured_is_neither_over_nor_sound() -> None:
    _, bar = bitten("E", bite={"force_n": 1000}, segments={"B": {"width_mm": "unknown"}})

    assert [(None, None, None, Place.INSIDE)] * 2 == [
        (each.stress_mpa, each.chewing_mpa, each.sag_mm, each.place) for each in bar.values()
    ]
    assert not any(each.bends or each.cracks for each in bar.values())


def test_a_yielding_bar_leaves_more_to_the_mucosa_than_a_stout_one() -> None:
    thin, stout = (bitten("E", bite={"force_n": 100}, segments={"B": {"width_mm": mm}})[0].bites for mm in (1.5, 4.0))

    for one, other in zip(thin, stout, strict=True):
        assert max(map(abs, one.share)) <= max(map(abs, other.share)) + 1e-4
    assert thin[0].share.low < 0.9 * stout[0].share.low


@pytest.mark.parametrize(
    ("stress", "cut", "known", "bends", "cracks", "place"),
    [
        ((10, 100), False, True, False, False, Place.BELOW),
        ((100, 420), False, True, False, True, Place.INSIDE),
        ((100, 420), True, True, True, True, Place.INSIDE),
        ((100, 420), True, False, False, True, Place.INSIDE),
        ((400, 700), False, True, True, True, Place.INSIDE),
        ((700, 900), False, True, True, True, Place.ABOVE),
        ((0, math.inf), True, True, True, True, Place.INSIDE),
    ],
    ids=[
        "little", "may bend, likely cracks", "may bend, cut", "cut, alloy not known", "likely bends",
        "bends for sure", "perhaps nothing left",
    ],
)  # fmt: skip
def test_a_caution_is_due_where_it_is_more_likely_than_not(
    stress: tuple[float, float], cut: bool, known: bool, bends: bool, cracks: bool, place: Place
) -> None:
    """Gold, type 4: proof stress 360 to 600 MPa, for years 72 to 240."""
    found = Bent(
        "A", "gold", Interval(*stress), Interval(360, 600), Interval(*stress), Interval(72, 240), known, cut, None
    )

    assert (bends, cracks, place) == (found.bends, found.cracks, found.place)


def test_where_the_bar_comes_off_nothing_bends() -> None:
    catalogue = stock(part("stud", kind="stud", at="support"))
    case = small_case()
    mix = tuple(c for c in problem_of(case, catalogue).fit.usable if c.takes_bar_off)

    assert mix
    assert () == bent_bar(borne(case, Layout(case), mix, catalogue.defaults))
