"""What the reworks of the starter catalogue may do, and that what they make is good enough for what follows."""

from __future__ import annotations

import pytest

from catalogue.models import Rework
from catalogue.quantities import QUANTITIES
from tests.catalogue.starter import (
    ATTACHMENTS,
    CATALOGUE,
    KNOWN_AT,
    MOVES,
    REWORKS,
    ids,
    moves,
    need,
    needs,
)


def test_a_cut_off_end_moves_freely_holds_nothing_and_buys_nothing() -> None:
    bare = ATTACHMENTS["end-cut-off"]

    assert dict.fromkeys(MOVES, "free") == moves(bare.movement)
    assert (0, 0, 0, 0) == (bare.retention_n.high, bare.price.high, bare.stack.height_mm, len(bare.needs))
    assert (("end",), ("cut-off-end",)) == (bare.at, bare.steps)


PERMISSIONS = {
    "cap-ball-1.8": ("cut_bar",),
    "cap-ball-2.2": ("cut_bar",),
    "cap-ball-2.5": ("cut_bar",),
    "unscrew-bar": (),
    "shorten-arms": (),
    "slim-round": ("cut_bar",),
    "deepen-undercut": ("cut_bar",),
    "lower-bar-top": ("cut_bar",),
    "relieve-acrylic": (),
    "thread-bar": ("cut_bar",),
    "weld-matrix": ("send_out", "weld"),
    "weld-keeper": ("send_out", "weld"),
    "take-bar-off": ("bar_off",),
    "cut-off-end": ("cut_bar",),
}


def test_what_the_case_must_allow() -> None:
    assert PERMISSIONS == {r.id: r.permissions for r in REWORKS.values()}


@pytest.mark.parametrize("rework", REWORKS.values(), ids=ids(REWORKS.values()))
def test_a_rework_is_limited_by_physics_and_tells_what_to_check(rework: Rework) -> None:
    assert [] == [n.of for n in rework.needs if n.waive is not None]
    assert rework.check is not None


def test_the_bar_is_unscrewed_once_or_taken_off_once() -> None:
    assert ["unscrew-bar", "take-bar-off"] == ids(r for r in REWORKS.values() if r.once)


WHERE = {
    "mouth": {"cap-ball-1.8", "cap-ball-2.2", "cap-ball-2.5", "unscrew-bar", "take-bar-off", "cut-off-end"},
    "bench": {"slim-round", "deepen-undercut", "lower-bar-top", "thread-bar", "weld-matrix", "weld-keeper"},
    "denture": {"relieve-acrylic", "shorten-arms"},
}


@pytest.mark.parametrize("where", WHERE)
def test_where_a_step_is_done(where: str) -> None:
    assert WHERE[where] == {r.id for r in REWORKS.values() if r.where == where}


def test_bench_work_on_a_bar_wants_it_unscrewed_and_takes_no_time_at_the_chair() -> None:
    for rework in REWORKS.values():
        assert (("unscrew-bar",) if rework.where == "bench" else ()) == rework.steps
        assert rework.where != "bench" or (0, 0) == rework.work.chair


def test_only_a_screwed_bar_whose_screws_turn_comes_off() -> None:
    unscrew = REWORKS["unscrew-bar"]

    assert {"fixing": ("screwed",), "screws": ("tight", "loose")} == {n.of: n.one_of for n in unscrew.needs}
    assert unscrew.work.chair[0] > 0
    assert unscrew.price.low > 0


def test_what_cannot_be_undone() -> None:
    """A worn ball that is re-rounded under a cap has lost nothing that was sound; a weld stays."""
    cut = {"slim-round", "deepen-undercut", "lower-bar-top", "thread-bar", "cut-off-end"}
    welded = {"weld-matrix", "weld-keeper"}

    assert cut | welded == {r.id for r in REWORKS.values() if r.harms_bar}


def test_what_is_cut_by_hand_is_good_to_a_twentieth_of_a_millimetre_at_best() -> None:
    assert {0.05, 0.1} == {r.tolerance_mm for r in REWORKS.values() if r.where == "bench" and {*r.makes, *r.changes}}


@pytest.mark.parametrize("size", ["1.8", "2.2", "2.5"])
def test_a_cap_gives_back_diameter_and_shape_within_what_its_females_take(size: str) -> None:
    cap, female = REWORKS[f"cap-ball-{size}"], ATTACHMENTS[f"ball-ring-{size}"]
    worn, taken, shape = need(cap, "ball_mm"), need(female, "ball_mm"), need(female, "out_of_round_mm")

    assert {"ball_mm": float(size), "out_of_round_mm": 0} == cap.makes
    assert worn.at_least is not None
    assert taken.at_least is not None
    assert taken.at_most is not None
    assert shape.at_most is not None
    assert worn.at_least < float(size), "the wall of the cap takes room"
    assert taken.at_least <= float(size) - cap.tolerance_mm
    assert taken.at_most >= float(size) + cap.tolerance_mm
    assert shape.at_most >= cap.tolerance_mm


@pytest.mark.parametrize("name", ["slim-round", "deepen-undercut"])
def test_a_cut_undercut_holds_a_clip_at_the_worst_of_its_tolerance(name: str) -> None:
    made = REWORKS[name].makes["undercut_mm"]

    assert isinstance(made, float)
    assert 0.3 <= made - REWORKS[name].tolerance_mm + 1e-9


def test_a_slimmed_head_fits_a_round_clip_at_the_worst_of_its_tolerance() -> None:
    slim, width = REWORKS["slim-round"], need(ATTACHMENTS["clip-round-polymer-5"], "width_mm")
    made = slim.makes["width_mm"]

    assert isinstance(made, float)
    assert width.at_least is not None
    assert width.at_most is not None
    assert width.at_least <= made - slim.tolerance_mm < made + slim.tolerance_mm <= width.at_most


def test_a_thread_wants_a_bar_of_4_by_3_mm() -> None:
    thread = REWORKS["thread-bar"]

    assert {"width_mm": 4, "height_mm": 3} == {n.of: n.at_least for n in thread.needs}
    assert {"common-practice"} == {CATALOGUE.sources[n.source].kind for n in thread.needs}


@pytest.mark.parametrize("name", ["weld-matrix", "weld-keeper"])
def test_a_weld_wants_to_know_the_alloy(name: str) -> None:
    assert {"alloy"} == needs(REWORKS[name])


def test_a_keeper_is_not_welded_on_titanium() -> None:
    assert {"titanium", "titanium-alloy"}.isdisjoint(need(REWORKS["weld-keeper"], "alloy").one_of)


def test_what_is_ground_off_the_top_is_gained_above_it() -> None:
    assert {"room_mm": 0.4, "height_mm": -0.4} == REWORKS["lower-bar-top"].changes


def test_relieving_the_acrylic_gives_breadth_and_no_height() -> None:
    assert {"breadth_mm": 1.0} == REWORKS["relieve-acrylic"].changes


def test_reworks_name_quantities_that_a_site_of_theirs_has() -> None:
    for rework in REWORKS.values():
        touched = {*rework.makes, *rework.changes}

        assert touched <= set(QUANTITIES)
        assert all(touched <= KNOWN_AT[kind] for kind in rework.at)
