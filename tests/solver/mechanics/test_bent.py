"""What a bar that stands is told of itself: where the bite bends it beyond its alloy, and how far it sags."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.problem import problem_of
from solver.handbook.sourced import Interval, Place
from solver.mechanics.bar_bending import NOT_KNOWN, bent_bar, overbent
from tests.solver.small import part, small_case, stock


@pytest.mark.parametrize(
    ("changes", "sites"),
    [
        ({}, []),
        ({"bite": {"force_n": 280}, "segments": {"B": {"alloy": "unknown"}}}, ["E"]),
        ({"bite": {"force_n": 300}}, ["B", "E"]),
        ({"bite": {"force_n": 300}, "segments": {"B": {"width_mm": "unknown"}}}, []),
        ({"bite": {"force_n": 300}, "segments": {"B": {"length_mm": 4}}}, ["E"]),
        ({"bite": {"force_n": 300}, "ends": {"E": {"length_mm": 2}}}, ["B"]),
    ],
    ids=["weak bite", "no alloy on record bears the end", "both", "sizes not known", "short stretch", "stub"],
)
def test_a_bar_that_stands_is_only_a_caution(changes: dict[str, Any], sites: list[str]) -> None:
    defaults = stock(part("clip")).defaults

    assert sites == [found.site for found in overbent(small_case(**changes), defaults, ())]


def test_an_end_bends_at_its_collar() -> None:
    """P a / Z with a = 8 - 2 mm and Z = pi 1.8^3 / 32 = 0.57256 mm3: 300 N give 3143.8 MPa (by hand)."""
    (found,) = [
        over
        for over in overbent(small_case(bite={"force_n": 300}), stock(part("clip")).defaults, ())
        if over.site == "E"
    ]

    assert ("E", Interval(780, 780)) == (found.site, found.proof_mpa)
    assert (3143.8, 3143.8) == pytest.approx(tuple(found.stress_mpa), rel=1e-4)


def bent(**changes: Any) -> list[tuple[str, Place]]:
    return [(found.site, found.place) for found in bent_bar(small_case(**changes), stock(part("clip")).defaults, ())]


def test_every_stretch_and_end_is_set_against_its_alloy() -> None:
    unknown = {"segments": {"B": {"width_mm": "unknown"}}}
    soft = {"bite": {"force_n": "100 +- 90"}}

    assert [("B", Place.BELOW), ("E", Place.BELOW)] == bent(bite={"force_n": 50})
    assert [("B", Place.INSIDE), ("E", Place.INSIDE)] == bent(**soft)
    assert [("B", Place.ABOVE), ("E", Place.ABOVE)] == bent(bite={"force_n": 1000})
    assert [("B", Place.INSIDE), ("E", Place.INSIDE)] == bent(**unknown)
    assert [("B", Place.BELOW)] == bent(bite={"force_n": 50}, ends={"E": {"length_mm": 2}})


def test_what_is_not_known_is_neither_over_nor_sound() -> None:
    case = small_case(bite={"force_n": 1000}, segments={"B": {"width_mm": "unknown"}})

    assert [(NOT_KNOWN, False, None)] * 2 == [
        (found.stress_mpa, found.over, found.sag_mm) for found in bent_bar(case, stock(part("clip")).defaults, ())
    ]


def test_sag_of_a_stretch_and_an_end_by_hand() -> None:
    """Roark, Table 8.1, and the AISC overhang (memory): 300 N, I = pi 1.8^4 / 64 = 0.51530 mm4, E 110 to 114 GPa.

    Stretch of 16 mm: P L^3 / 192 E I to P L^3 / 48 E I. End of 6 mm: P a^3 / 3 E I to P a^2 (a + 16) / 3 E I.
    """
    stretch, end = bent_bar(small_case(bite={"force_n": 300}), stock(part("clip")).defaults, ())

    assert ["B", "E"] == [stretch.site, end.site]
    assert stretch.sag_mm is not None
    assert end.sag_mm is not None
    assert (0.10895, 0.45164) == pytest.approx(tuple(stretch.sag_mm), rel=1e-3)
    assert (0.36770, 1.39718) == pytest.approx(tuple(end.sag_mm), rel=1e-3)


def test_where_the_bar_comes_off_nothing_bends() -> None:
    catalogue = stock(part("stud", kind="stud", at="support"))
    mix = tuple(c for c in problem_of(small_case(), catalogue).fit.usable if c.takes_bar_off)

    assert mix
    assert () == bent_bar(small_case(), catalogue.defaults, mix)
