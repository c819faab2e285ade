"""Where in a case the facts of a site stand, and which places are one question."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.quantities import QUANTITIES
from solver.assess.problem import problem_of
from solver.audit.second_opinion.asks import ask_for
from solver.case.bars import bars, joined_supports
from solver.case.measure import Measure
from solver.case.provenance import provenance
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.fit.candidate import Question
from tests.solver.small import need, part, small_case, step, stock

TWO_BARS: dict[str, Any] = {
    "supports": {"R": {"at_mm": [-20, 15, 0]}, "M": {"at_mm": [-8, 22, 0]}, "N": {"at_mm": [8, 22, 0]},
                 "L": {"at_mm": [20, 15, 0]}},
    "segments": {"B": None, "A": {"between": ["R", "M"]}, "Z": {"between": ["N", "L"]}},
}  # fmt: skip
THREE: dict[str, Any] = {
    "supports": {"M": {"at_mm": [0, 24, 0]}},
    "segments": {"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"]}},
}

ROOMS: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "one that the case gives": ({"room": {"room_mm": "9 +- 1"}}, "B", "room_mm", "room.room_mm"),
    "one of its own": ({"segments": {"B": {"room_mm": "9 +- 1"}}}, "B", "room_mm", "segments.B.room_mm"),
    "space is open": ({"room": {"space_mm": "unknown"}}, "B", "room_mm", "room.space_mm"),
    "the top is open": ({"room": {"top_mm": "unknown"}}, "B", "room_mm", "room.top_mm"),
    "both are open": ({"room": {"space_mm": "unknown", "top_mm": "unknown"}}, "B", "room_mm", "room.room_mm"),
    "space is rough": ({"room": {"space_mm": "14 +- 1"}}, "B", "room_mm", "room.space_mm"),
    "both are rough": ({"room": {"space_mm": "14 +- 1", "top_mm": "4 +- 1"}}, "B", "room_mm", "room.room_mm"),
    "space is open, the top rough": (
        {"room": {"space_mm": "unknown", "top_mm": "4 +- 1"}}, "B", "room_mm", "room.space_mm",
    ),
    "an own space is rough": ({"ends": {"E": {"space_mm": "14 +- 1"}}}, "E", "room_mm", "ends.E.space_mm"),
    "an own top, both rough": (
        {"room": {"space_mm": "14 +- 1"}, "ends": {"E": {"top_mm": "4 +- 1"}}}, "E", "room_mm", "ends.E.room_mm",
    ),
    "a platform of unknown height": ({}, "R", "room_mm", "supports.R.top_mm, supports.L.top_mm"),
    "a platform of unknown height beside a known one": (
        {"supports": {"L": {"top_mm": 2}}}, "R", "room_mm", "supports.R.top_mm",
    ),
    "a platform, nothing known": (
        {"room": {"space_mm": "unknown"}}, "R", "room_mm", "supports.R.room_mm, supports.L.room_mm",
    ),
    "space for a platform": ({"room": {"space_mm": "unknown"}}, "R", "space_mm", "room.space_mm"),
    "breadth": ({}, "B", "breadth_mm", "room.breadth_mm"),
    "breadth of its own": ({"segments": {"B": {"breadth_mm": "9 +- 1"}}}, "B", "breadth_mm", "segments.B.breadth_mm"),
}  # fmt: skip
BARS: dict[str, tuple[dict[str, Any], str, str, str]] = {
    "not known along one bar": (THREE, "B", "gap_mm", "segments.B.gap_mm, segments.C.gap_mm"),
    "known at one of them": (
        {**THREE, "segments": {"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], "gap_mm": 2}}},
        "B", "gap_mm", "segments.B.gap_mm",
    ),
    "rough at one of them": (
        {**THREE, "segments": {"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], "gap_mm": "2 +- 1"}}},
        "C", "gap_mm", "segments.C.gap_mm",
    ),
    "the alloy, of its free end too": (
        {**THREE, "segments": {"B": {"between": ["R", "M"], "alloy": "unknown"}, "C": {"between": ["M", "L"]}}},
        "E", "alloy", "segments.B.alloy, segments.C.alloy, ends.E.alloy",
    ),
    "the gap under a free end": (THREE, "E", "gap_mm", "ends.E.gap_mm"),
    "another bar": (TWO_BARS, "A", "gap_mm", "segments.A.gap_mm"),
    "a platform, of all supports at once": ({}, "R", "connection", "supports.R.connection, supports.L.connection"),
    "how all supports lean": ({}, "L", "tilt_deg", "supports.R.tilt_deg, supports.L.tilt_deg"),
    "scans": ({}, "R", "scans", "patient.scans_expected"),
    "the bite": ({}, "B", "force_n", "bite.force_n"),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "site", "of", "at"), [*ROOMS.values(), *BARS.values()], ids=[*ROOMS, *BARS])
def test_a_fact_is_asked_where_it_stands(changes: dict[str, Any], site: str, of: str, at: str) -> None:
    case = small_case(**changes)

    assert at == str(Question(provenance(case)[site][of]))
    assert frozenset(at.split(", ")) == ask_for(case, site, of)


@pytest.mark.parametrize("changes", [{}, THREE, TWO_BARS], ids=["one stretch", "two stretches", "two bars"])
def test_every_fact_of_every_site_has_its_place_in_the_case(changes: dict[str, Any]) -> None:
    """So a fact that is added without one is noticed."""
    case = small_case(**changes)
    for fitted in problem_of(case, stock()).fit.sites:
        assert set(fitted.site.facts) <= set(fitted.site.places)
        for places in fitted.site.places.values():
            for place in places:
                assert _is_an_entry(case, place), place


def _is_an_entry(case: Case, place: tuple[str, ...]) -> bool:
    section = getattr(case, place[0])
    entry = section[place[1]] if isinstance(section, dict) else section
    return place[-1] in type(entry).model_fields


def test_what_sites_share_is_one_question_and_counts_once() -> None:
    """A part on the bar and one on its end hang on one figure of the case, one of them on a gap besides."""
    catalogue = stock(
        part("clip", needs=[need("breadth_mm", at_least=9), need("gap_mm", at_least=1)]),
        part("ball", "ball", "end", needs=[need("breadth_mm", at_least=9)]),
    )
    found = plan(small_case(wanted={"level_n": 10}), catalogue).best

    assert found is not None
    assert ["room.breadth_mm", "segments.B.gap_mm"] == [*map(str, found.questions)]


def test_what_is_shared_ranks_before_as_many_questions_of_their_own() -> None:
    """Two parts at the same price: both hang on the breadth, or each on a figure of its own."""
    catalogue = stock(
        part("a-gap", needs=[need("gap_mm", at_least=1)]),
        part("b-breadth", needs=[need("breadth_mm", at_least=9)]),
        part("c-ball", "ball", "end", needs=[need("breadth_mm", at_least=9)]),
    )
    found = plan(small_case(wanted={"level_n": 10}), catalogue).best

    assert found is not None
    assert ["b-breadth", "c-ball"] == [candidate.attachment.id for candidate in found.mix]


def test_what_a_step_makes_is_asked_of_the_step() -> None:
    """It makes 2.2 mm within 0.1 mm where 2.15 to 2.4 mm are needed: no measure taken before can tell."""
    cap = step("cap-2.2", "end", makes={"ball_mm": 2.2}, tolerance_mm=0.1)
    ball = part("ball", "ball", "end", needs=[need("ball_mm", at_least=2.15, at_most=2.4)])
    found = plan(small_case(ends={"E": {"ball_mm": 1.9}}, wanted={"level_n": 5}), stock(ball, steps=(cap,))).best

    assert found is not None
    assert ["reworks.cap-2.2.ball_mm"] == [*map(str, found.questions)]
    assert [*found.questions] == [Question.read(str(question)) for question in found.questions]


def test_a_question_is_read_from_what_it_is_written_as() -> None:
    case = small_case(**THREE)
    for places in (places for site in provenance(case).values() for places in site.values()):
        assert Question(places) == Question.read(str(Question(places)))


def test_supports_and_bars_that_hang_together() -> None:
    case = small_case(**TWO_BARS)

    assert [{"R", "M"}, {"N", "L"}] == joined_supports(case)
    assert [{"A"}, {"Z", "E"}] == bars(case)
    assert [{"B", "C", "E"}] == bars(small_case(**THREE))


def test_quantities_are_known_to_the_sites_that_may_have_them() -> None:
    """Every quantity is a fact of some kind of site."""
    facts = {of for fitted in problem_of(small_case(), stock()).fit.sites for of in fitted.site.facts}

    assert facts == QUANTITIES.keys()
    assert Measure() == small_case().segments["B"].gap_mm
