"""What to ask on the small case: which places are one question, which values are taken, and what they lead to."""

from __future__ import annotations

from math import inf
from typing import Any

import pytest

from solver.case.measure import Measure
from solver.choose.master import Outcome
from solver.choose.search import Options
from solver.explore.extent import Extent
from solver.explore.questions import Ask, Asked, ask
from solver.explore.reply import Reply
from tests.solver.small import band, large_world, need, part, small_case, step, stock

HOLD: dict[str, Any] = {"wanted": {"level_n": 5}}
UNDERCUT = need("undercut_mm", at_least=0.3)
THREE: dict[str, Any] = {
    "supports": {"M": {"at_mm": [0, 24, 0]}},
    "segments": {"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], "section": "round"}},
}


def told(*parts: dict[str, Any], steps: tuple[dict[str, Any], ...] = (), **changes: Any) -> Ask:
    found = ask(small_case(**{**HOLD, **changes}), stock(*parts, steps=steps))
    assert Outcome.OPTIMAL is found.outcome
    return found


def only(found: Ask) -> Asked:
    (entry,) = found.asked
    return entry


def mix(reply: Reply | None) -> list[str] | None:
    assert reply is not None
    return None if reply.plan is None else [candidate.key for candidate in reply.plan.mix]


def value(reply: Reply | None) -> float | str | None:
    assert reply is not None
    return reply.value.value if isinstance(reply.value, Measure) else reply.value


def open_width(low: float | None, high: float | None, **more: Any) -> dict[str, Any]:
    limits = {"at_least": low, "at_most": high}
    return need("width_mm", **{name: limit for name, limit in limits.items() if limit is not None}, **more)


OUTCOMES: dict[str, tuple[dict[str, Any], float | str, float, float | None, float]] = {
    "at least": (open_width(1.7, None), "unknown", 1.7, 1.6, 0.5),
    "at most": (open_width(None, 2.5), "unknown", 2.5, 2.6, 0.5),
    "between": (open_width(1.7, 2.5), "unknown", 2.1, 1.6, 0.5),
    "a limit near the least that there is": (open_width(0.4, None), "unknown", 0.4, 0.35, 0.5),
    "three quarters of the error": (open_width(1.75, None), "1.8 +- 0.1", 1.825, 1.725, 0.75),
    "a quarter of the error": (open_width(None, 1.75), "1.8 +- 0.1", 1.725, 1.825, 0.25),
    "the border alone": (open_width(1.9, None), "1.8 +- 0.1", 1.9, 1.8, 0.0),
}
"""A need of the width, what is measured, good and bad value, odds."""


@pytest.mark.parametrize(("asked", "measured", "good", "bad", "chance"), OUTCOMES.values(), ids=OUTCOMES)
def test_good_and_bad_values_of_a_number(
    asked: dict[str, Any], measured: float | str, good: float, bad: float, chance: float
) -> None:
    entry = only(told(part("clip", needs=[asked]), segments={"B": {"width_mm": measured}}))

    assert (good, bad) == pytest.approx((value(entry.well), value(entry.badly)))
    assert chance == pytest.approx(entry.chance)
    assert (["B=clip"], None) == (mix(entry.well), mix(entry.badly))


def test_a_good_value_serves_as_many_as_it_can_but_the_plan_first() -> None:
    """The plan takes 1.7 to 2.5 mm, two dearer parts need more than 2.2 and 2.6 mm."""
    dear: dict[str, Any] = {"price": band(50, 50)}
    entry = only(
        told(
            part("clip", needs=[open_width(1.7, 2.5)]),
            part("one", needs=[open_width(2.2, None)], **dear),
            part("two", needs=[open_width(2.6, None)], **dear),
            segments={"B": {"width_mm": "unknown"}},
        )
    )  # fmt: skip

    assert pytest.approx(2.35) == value(entry.well)


def test_of_the_bad_values_on_both_sides_the_one_that_costs_more_is_told() -> None:
    """Wider than 2.5 mm the bar is slimmed; under 1.7 mm nothing fits."""
    slim = step("slim", "segment", changes={"width_mm": -0.3}, price=band(5, 5))
    clip = part("clip", needs=[open_width(1.7, 2.5)])
    both = only(told(clip, steps=(slim,), segments={"B": {"width_mm": "unknown"}}))
    wide = only(told(clip, steps=(slim,), segments={"B": {"width_mm": "2.5 +- 0.2"}}))

    assert pytest.approx(1.6) == value(both.badly)
    assert mix(both.badly) is None
    assert pytest.approx(2.6) == value(wide.badly)
    assert ["B=clip + slim"] == mix(wide.badly)


WORDS: dict[str, tuple[dict[str, Any], dict[str, Any], str, str]] = {
    "section": (
        part("clip", needs=[need("section", one_of=["ovoid"])]), {"segments": {"B": {"section": "unknown"}}},
        "ovoid", "round",
    ),
    "connection": (
        part("stud", "stud", "support", steps=["off"], needs=[need("connection", one_of=["documented"])]),
        {"allowed": {"bar_off": True}, "supports": {"R": {"top_mm": 2}, "L": {"top_mm": 2}}},
        "documented", "undocumented",
    ),
    "scans": (part("magnet", "magnet", magnetic=True), {"patient": {"scans_expected": "unknown"}}, "no", "yes"),
    "alloy": (
        part("clip", needs=[need("alloy", one_of=["gold"])]), {"segments": {"B": {"alloy": "unknown"}}},
        "gold", "titanium-alloy",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("fitted", "changes", "good", "bad"), WORDS.values(), ids=WORDS)
def test_good_and_bad_words(fitted: dict[str, Any], changes: dict[str, Any], good: str, bad: str) -> None:
    off = step("off", "support", always_with=True, once=True, permissions=["bar_off"])
    entry = told(fitted, steps=(off,), **changes).asked[0]

    assert (good, bad, 0.5) == (value(entry.well), value(entry.badly), entry.chance)
    assert mix(entry.well)
    assert entry.well.extent is None


def test_one_figure_of_the_case_is_one_question() -> None:
    """Two parts under one breadth: what one answer settles, it settles for both."""
    wide = [need("breadth_mm", at_least=9)]
    found = told(part("clip", needs=wide), part("ball", "ball", "end", needs=wide), wanted={"level_n": 10})
    entry = only(found)

    assert "room.breadth_mm" == str(entry.question)
    assert [1] == [len(plan.questions) for plan in found.curve]
    assert (["B=clip", "E=ball"], None) == (mix(entry.well), mix(entry.badly))
    assert inf == entry.stake("now")


def test_a_shared_figure_is_good_where_it_serves_all_and_bad_where_it_serves_none() -> None:
    """8 mm serve one of two parts, 10 mm both; under 8 mm neither stands."""
    found = told(
        part("clip", needs=[need("breadth_mm", at_least=8)]),
        part("ball", "ball", "end", needs=[need("breadth_mm", at_least=10)]),
        wanted={"level_n": 10},
    )
    entry = only(found)

    assert 10.0 == value(entry.well)
    assert pytest.approx(7.9) == value(entry.badly)


def test_a_bar_is_measured_once() -> None:
    """Two stretches whose undercut nobody knows: one question, both places good or both bad."""
    clip = part("clip", needs=[UNDERCUT])
    segments = {name: {**THREE["segments"][name], "undercut_mm": "unknown"} for name in "BC"}
    found = told(clip, **{**THREE, "segments": segments, "wanted": {"level_n": 10}})
    entry = only(found)

    assert "segments.B.undercut_mm, segments.C.undercut_mm" == str(entry.question)
    assert (["B=clip", "C=clip"], None) == (mix(entry.well), mix(entry.badly))


def test_what_is_known_of_one_stretch_is_asked_of_the_other_alone() -> None:
    segments = {
        "B": {**THREE["segments"]["B"], "undercut_mm": 0.4},
        "C": {**THREE["segments"]["C"], "undercut_mm": "unknown"},
    }
    found = told(part("clip", needs=[UNDERCUT]), **{**THREE, "segments": segments, "wanted": {"level_n": 10}})

    assert "segments.C.undercut_mm" == str(only(found).question)


ROOMS: dict[str, tuple[dict[str, Any], str, float, float]] = {
    "space": ({"space_mm": "unknown", "top_mm": 4}, "room.space_mm", 9.5, 9.4),
    "top": ({"space_mm": 14, "top_mm": "unknown"}, "room.top_mm", 8.5, 8.6),
    "neither known": ({"space_mm": "unknown", "top_mm": "unknown"}, "room.room_mm", 5.5, 5.4),
    "the other rough": ({"space_mm": "unknown", "top_mm": "4 +- 0.5"}, "room.space_mm", 10.0, 8.9),
    "both rough": ({"space_mm": "9.5 +- 1", "top_mm": "4 +- 0.5"}, "room.room_mm", 6.25, 4.75),
}
"""A stack of 1 mm under acrylic and tooth of 4.5 mm: where the room is asked, good and bad value."""


@pytest.mark.parametrize(("room", "at", "good", "bad"), ROOMS.values(), ids=ROOMS)
def test_room_is_asked_where_it_is_open(room: dict[str, Any], at: str, good: float, bad: float) -> None:
    tall = part("clip", stack={"part": 1.0, "source": "invented"})
    entry = only(told(tall, room=room, ends={"E": None}))

    assert at == str(entry.question)
    assert (good, bad) == pytest.approx((value(entry.well), value(entry.badly)))
    assert ["B=clip"] == mix(entry.well)
    assert mix(entry.badly) is None


def test_an_end_is_left_bare_only_where_its_room_is_known_to_be_enough() -> None:
    """Nothing is needed of the end, but the acrylic over it must fit."""
    found = told(part("clip"), room={"top_mm": "unknown"}, segments={"B": {"top_mm": 4}})
    entry = only(found)

    assert "room.top_mm" == str(entry.question)
    assert [["B=clip", "E=left_bare"]] == [[candidate.key for candidate in plan.mix] for plan in found.curve]
    assert (["B=clip"], None) == (mix(entry.well), mix(entry.badly))
    assert (9.5, 9.6) == pytest.approx((value(entry.well), value(entry.badly)))
    assert found.certain is None


def test_whether_a_cut_bar_bears_the_bite_is_asked_of_what_is_open() -> None:
    """A strong alloy and a weak bite hold; a good alloy is the strongest, a bad one leaves it open."""
    deepen = step("deepen", "segment", makes={"undercut_mm": 0.4})
    clip = part("clip", needs=[need("undercut_mm", at_least=0.35)])
    found = told(
        clip, steps=(deepen,), segments={"B": {"alloy": "unknown"}}, ends={"E": {"alloy": "gold"}},
        bite={"force_n": 100},
    )  # fmt: skip
    entry = only(found)

    assert ("segments.B.alloy", "titanium-alloy", "gold") == (
        str(entry.question), value(entry.well), value(entry.badly),
    )  # fmt: skip
    assert (0, 1) == tuple(len(r.plan.questions) for r in (entry.well, entry.badly) if r and r.plan)
    assert ["segments.B.proof_mpa"] == [*map(str, found.later)]


def test_a_proof_stress_settles_what_the_name_of_an_alloy_leaves_open() -> None:
    deepen = step("deepen", "segment", makes={"undercut_mm": 0.4})
    clip = part("clip", needs=[need("undercut_mm", at_least=0.35)])
    entry = only(
        told(clip, steps=(deepen,), segments={"B": {"alloy": "gold"}}, bite={"force_n": 100}, ends={"E": None})
    )

    assert "segments.B.proof_mpa" == str(entry.question)
    assert (["B=clip + deepen"], None) == (mix(entry.well), mix(entry.badly))
    assert 360 < float(value(entry.badly) or 0) < float(value(entry.well) or 0) < 600


def test_how_a_step_comes_out_is_hung_on_and_not_asked() -> None:
    cap = step("cap", "end", makes={"ball_mm": 2.2}, tolerance_mm=0.1)
    ball = part("ball", "ball", "end", needs=[need("ball_mm", at_least=2.15, at_most=2.4)])
    found = told(ball, steps=(cap,), ends={"E": {"ball_mm": 1.9}})

    assert ["reworks.cap.ball_mm"] == [str(question) for plan in found.curve for question in plan.questions]
    assert () == found.asked


EXTENTS: dict[str, tuple[list[dict[str, Any]], Extent, Extent]] = {
    "nothing else": (
        [part("clip", needs=[need("gap_mm", at_least=1)])],
        Extent(low=1), Extent(high=1, high_included=False),
    ),
    "another part that needs less": (
        [part("clip", needs=[need("gap_mm", at_least=1)]),
         part("flat", needs=[need("gap_mm", at_least=0.6)], price=band(30, 30))],
        Extent(low=1), Extent(low=0.6, high=1, high_included=False),
    ),
    "another part that takes no more": (
        [part("clip", needs=[need("gap_mm", at_least=1)]),
         part("tight", needs=[need("gap_mm", at_most=0.5)], price=band(30, 30))],
        Extent(low=1), Extent(low=0.5, high=1, low_included=False, high_included=False),
    ),
    "between": (
        [part("clip", needs=[need("gap_mm", at_least=1, at_most=2)]), part("any", price=band(30, 30))],
        Extent(low=1, high=2), Extent(high=1, high_included=False),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("parts", "good", "bad"), EXTENTS.values(), ids=EXTENTS)
def test_for_which_answers_the_same_holds(parts: list[dict[str, Any]], good: Extent, bad: Extent) -> None:
    entry = only(told(*parts, segments={"B": {"gap_mm": "unknown"}}))

    assert entry.badly is not None
    assert (good, bad) == (entry.well.extent, entry.badly.extent)


def test_the_most_at_stake_comes_first() -> None:
    """Without the gap nothing fits; without the ball a dearer one does; a rough measure risks less."""
    found = told(
        part("clip", needs=[need("gap_mm", at_least=1), open_width(1.75, None)]),
        part("ball", "ball", "end", needs=[need("ball_mm", at_most=2.25)]),
        part("stud", "ball", "end", price=band(20, 20)),
        part("wide", needs=[need("gap_mm", at_least=1)], price=band(25, 25)),
        wanted={"level_n": 10}, ends={"E": {"ball_mm": "unknown"}},
        segments={"B": {"gap_mm": "unknown", "width_mm": "1.8 +- 0.1"}},
    )  # fmt: skip
    stakes = {str(entry.question): (entry.stake("now"), entry.chance) for entry in found.asked}

    assert stakes == {
        "segments.B.gap_mm": (inf, 0.5),
        "ends.E.ball_mm": (800.0, 0.5),
        "segments.B.width_mm": (1300.0, pytest.approx(0.75)),
    }
    assert [*stakes] == [str(entry.question) for entry in found.asked]


def test_what_comes_in_later_and_what_changes_nothing() -> None:
    """A bad undercut leaves the ball, which hangs on its size; the tilt is needed by what is too dear anyway."""
    found = told(
        part("clip", needs=[UNDERCUT]),
        part("ball", "ball", "end", needs=[need("ball_mm", at_least=2)], price=band(20, 20)),
        part("dear", "ball", "end", needs=[need("tilt_deg", at_most=10)], price=band(90, 90)),
        segments={"B": {"undercut_mm": "unknown"}}, ends={"E": {"ball_mm": "unknown"}},
    )  # fmt: skip

    assert ["segments.B.undercut_mm"] == [str(entry.question) for entry in found.asked]
    assert ["ends.E.ball_mm"] == [*map(str, found.later)]
    assert ["ends.E.tilt_deg"] == [*map(str, found.idle)]


def test_a_reply_tells_what_is_hoped_for_and_what_is_certain() -> None:
    """A good gap leaves a plan that hangs on the undercut; for certain there is a dearer one."""
    found = told(
        part("clip", needs=[UNDERCUT, need("gap_mm", at_least=1)]),
        part("flat", needs=[need("gap_mm", at_least=1)], price=band(30, 30)),
        segments={"B": {"undercut_mm": "unknown", "gap_mm": "unknown"}},
    )
    gap = next(entry for entry in found.asked if entry.question.of == "gap_mm")

    assert ["B=clip"] == mix(gap.well)
    assert gap.well.certain is not None
    assert ["B=flat"] == [candidate.key for candidate in gap.well.certain.mix]


def test_out_of_time_nothing_is_said_to_be_idle() -> None:
    found = ask(*large_world(), Options(time_limit_s=0.001))

    assert Outcome.UNDECIDED is found.outcome
    assert ((), (), ()) == (found.asked, found.later, found.idle)
