"""Facts of the trade that the attachments must tell (common practice, no source, unless a test names one)."""

from __future__ import annotations

import pytest

from catalogue.models import Attachment
from tests.catalogue.starter import (
    ATTACHMENTS,
    CATALOGUE,
    END_BALLS,
    MAGNETS,
    METAL_CLIPS,
    MOVES,
    ON_THE_BAR,
    POLYMER_CLIPS,
    REAL,
    ROUND_CLIPS,
    SINGLE,
    SNAP_CLIPS,
    STUDS,
    ids,
    moves,
    named,
    need,
    needs,
)


@pytest.mark.parametrize("clip", SNAP_CLIPS, ids=ids(SNAP_CLIPS))
def test_a_snap_clip_holds_by_the_undercut(clip: Attachment) -> None:
    assert 0.3 == need(clip, "undercut_mm").at_least


@pytest.mark.parametrize("clip", POLYMER_CLIPS, ids=ids(POLYMER_CLIPS))
def test_a_polymer_clip_cannot_be_set_and_only_hinges(clip: Attachment) -> None:
    assert None is need(clip, "undercut_mm").waive
    assert {"hinge_deg"} == set(moves(clip.movement))
    assert 0 == clip.stack.spacer


@pytest.mark.parametrize("clip", METAL_CLIPS, ids=ids(METAL_CLIPS))
def test_a_metal_clip_is_set_tighter_over_a_slight_undercut_and_never_over_none(clip: Attachment) -> None:
    undercut = need(clip, "undercut_mm")

    assert undercut.at_least is not None
    assert undercut.waive is not None
    assert 0.1 == undercut.waive.up_to < undercut.at_least
    assert undercut.waive.how.startswith("set the arms tighter")


@pytest.mark.parametrize("clip", METAL_CLIPS, ids=ids(METAL_CLIPS))
def test_a_metal_clip_gives_downwards_by_its_spacer_except_on_a_keyhole_bar(clip: Attachment) -> None:
    down = clip.movement.down_mm or 0

    assert down == clip.stack.spacer
    assert (0 if "keyhole" in clip.id else 0.5) == down
    assert {"hinge_deg", "down_mm"} >= set(moves(clip.movement))


@pytest.mark.parametrize("clip", ROUND_CLIPS, ids=ids(ROUND_CLIPS))
def test_a_round_clip_wants_the_usual_head_of_1_8_mm(clip: Attachment) -> None:
    width = need(clip, "width_mm")

    assert (1.7, 1.95) == (width.at_least, width.at_most)
    assert ("round",) == need(clip, "section").one_of


@pytest.mark.parametrize("section", ["round", "ovoid", "keyhole", "parallel"])
def test_every_section_has_a_clip_and_no_clip_has_two(section: str) -> None:
    for clip in (a for a in ATTACHMENTS.values() if a.kind == "clip"):
        assert (section in need(clip, "section").one_of) == (f"clip-{section}-" in clip.id)
    assert named(f"clip-{section}-")


def test_a_sleeve_is_rigid_and_needs_no_undercut() -> None:
    sleeve = ATTACHMENTS["clip-parallel-sleeve-6"]

    assert {} == moves(sleeve.movement)
    assert "undercut_mm" not in needs(sleeve)


@pytest.mark.parametrize("ball", END_BALLS, ids=ids(END_BALLS))
def test_a_ball_that_has_lost_its_shape_retains_no_female_at_all(ball: Attachment) -> None:
    shape = need(ball, "out_of_round_mm")

    assert 0.05 == shape.at_most
    assert None is shape.waive


@pytest.mark.parametrize("ball", END_BALLS, ids=ids(END_BALLS))
def test_a_female_takes_its_own_diameter(ball: Attachment) -> None:
    nominal = float(ball.id.rsplit("-", 1)[1])
    diameter = need(ball, "ball_mm")

    assert (nominal - 0.05, nominal + 0.05) == pytest.approx((diameter.at_least, diameter.at_most))
    assert None is diameter.waive


def test_balls_come_in_four_diameters_and_three_females() -> None:
    every = {
        f"ball-{female}-{size}" for female in ("ring", "flex", "metal") for size in ("1.8", "2.2", "2.25", "2.5")
    }

    assert every == set(ids(END_BALLS))


FREEDOM = {
    "ball-ring-": {"down_mm", "hinge_deg", "tip_deg", "turn_deg"},
    "ball-flex-": {"down_mm", "hinge_deg", "tip_deg", "turn_deg"},
    "ball-metal-": {"down_mm", "hinge_deg", "tip_deg", "turn_deg"},
    "stud-": {"down_mm", "hinge_deg", "tip_deg", "turn_deg"},
    "magnet-flat-": {"slide_mm", "sideways_mm", "up_mm", "hinge_deg", "tip_deg", "turn_deg"},
    "magnet-cushion-": {"slide_mm", "sideways_mm", "up_mm", "down_mm", "hinge_deg", "tip_deg", "turn_deg"},
}


@pytest.mark.parametrize("prefix", FREEDOM)
def test_what_balls_studs_and_magnets_let_move(prefix: str) -> None:
    for attachment in named(prefix):
        assert FREEDOM[prefix] == set(moves(attachment.movement))
        assert (attachment.movement.down_mm or 0) == attachment.stack.spacer


def test_a_ring_gives_more_than_a_flexing_female() -> None:
    ring, flex = ATTACHMENTS["ball-ring-2.25"].movement, ATTACHMENTS["ball-flex-2.25"].movement

    assert (0.4, 15, 15) == (ring.down_mm, ring.hinge_deg, ring.tip_deg)
    assert (0.3, 10, 10) == (flex.down_mm, flex.hinge_deg, flex.tip_deg)


@pytest.mark.parametrize("stud", STUDS, ids=ids(STUDS))
def test_a_stud_pivots_8_degrees_and_gives_0_2_mm(stud: Attachment) -> None:
    """Makers' literature, from memory."""
    assert (8, 8, 0.2) == (stud.movement.hinge_deg, stud.movement.tip_deg, stud.movement.down_mm)


def test_magnets_and_nothing_else_are_magnetic_and_let_go_after_0_2_mm() -> None:
    assert ids(MAGNETS) == ids(a for a in ATTACHMENTS.values() if a.magnetic)
    assert {0.2} == {a.movement.up_mm for a in MAGNETS}


@pytest.mark.parametrize("attachment", ON_THE_BAR, ids=ids(ON_THE_BAR))
def test_a_bar_overdenture_needs_11_mm_between_the_jaws(attachment: Attachment) -> None:
    """Carpentieri 2019: 11 mm at least, so 12 to 14 mm are enough; not 14 or 16 mm."""
    space = need(attachment, "space_mm")

    assert (11, None, None, "carpentieri-2019") == (space.at_least, space.at_most, space.waive, space.source)


@pytest.mark.parametrize("attachment", SINGLE, ids=ids(SINGLE))
def test_a_single_attachment_needs_7_mm_a_known_connection_and_the_bar_off(attachment: Attachment) -> None:
    """Carpentieri 2019: 7 mm at least for an unsplinted overdenture."""
    space = need(attachment, "space_mm")

    assert (7, None, None, "carpentieri-2019") == (space.at_least, space.at_most, space.waive, space.source)
    assert (("documented",), None) == (need(attachment, "connection").one_of, need(attachment, "connection").waive)
    assert ("take-bar-off",) == attachment.steps


WANTS_BREADTH = [a for a in REAL if a.kind not in ("clip", "lining")]


@pytest.mark.parametrize("attachment", WANTS_BREADTH, ids=ids(WANTS_BREADTH))
def test_a_housing_wants_9_mm_of_breadth_and_a_person_may_accept_8(attachment: Attachment) -> None:
    """Lee and Agar 2006, from memory."""
    breadth = need(attachment, "breadth_mm")

    assert breadth.waive is not None
    assert (9, 1) == (breadth.at_least, breadth.waive.up_to)
    assert "memory" == CATALOGUE.sources[breadth.source].kind


@pytest.mark.parametrize(("ball", "neck_mm"), [("1.8", 1.0), ("2.2", 1.3), ("2.25", 1.3), ("2.5", 1.5)])
def test_a_thin_neck_bears_no_metal_female_and_only_that_one_asks_for_it(ball: str, neck_mm: float) -> None:
    """How thin is from memory."""
    neck = need(ATTACHMENTS[f"ball-metal-{ball}"], "neck_mm")

    assert (neck_mm, None, None) == (neck.at_least, neck.at_most, neck.waive)
    assert neck_mm < float(ball)
    assert not any("neck_mm" in needs(ATTACHMENTS[f"ball-{soft}-{ball}"]) for soft in ("ring", "flex"))


def test_what_a_grinder_wears_out_is_elastomer_or_soft_polymer() -> None:
    """Metal clips and females, a sleeve and a magnet are none of it."""
    soft = {a.id for a in (*POLYMER_CLIPS, *STUDS, *named("ball-ring-"), *named("ball-flex-"))}

    assert soft | {"ball-single-ring-2.25", "lining-silicone"} == {a.id for a in REAL if a.wears_by_grinding}


def test_a_grinder_may_live_with_soft_parts_and_is_told_how() -> None:
    grinding = CATALOGUE.defaults.grinding

    assert "renew what holds often, see the patient sooner, and put a metal frame into the base" == grinding.how
    assert (0, "common-practice") == (grinding.up_to, CATALOGUE.sources[grinding.source].kind)


def test_a_steel_housing_holds_nickel_and_a_titanium_one_does_not() -> None:
    """From memory: the alloy card of the part decides."""
    assert {a.id for a in REAL if "nickel" in a.metals} == {a.id for a in REAL if "ring" in a.id.split("-")}
    assert {("titanium",)} == {a.metals for a in named("ball-flex-")}


def test_a_soft_lining_asks_for_no_undercut_and_no_work_on_the_bar() -> None:
    lining = ATTACHMENTS["lining-silicone"]

    assert ((), {"space_mm"}) == (lining.steps, needs(lining))
    assert set(MOVES) == set(moves(lining.movement))


def test_a_soft_lining_holds_less_than_a_clip_and_is_renewed_once_or_twice_a_year() -> None:
    """No figure was found: our own estimate. A stretch holds at most what the shortest clip holds at least."""
    lining = ATTACHMENTS["lining-silicone"]

    assert lining.retention_n.high <= min(clip.retention_n.low for clip in SNAP_CLIPS)
    assert "invented" == CATALOGUE.sources[lining.retention_n.source].kind
    assert lining.service is not None
    assert (6, 12) == lining.service.months


def test_the_insert_for_divergent_supports_takes_20_degrees() -> None:
    """Shafie and Obeid p 5: 20 deg at each implant."""
    tilt = need(ATTACHMENTS["stud-single-tilted"], "tilt_deg")

    assert (20, "shafie-obeid-p5") == (tilt.at_most, tilt.source)


# Room above the bar, ball or platform with 2 mm of acrylic and 2.5 mm of tooth, mm.
FITS = {
    6.8: {"clip-round-polymer-5", "clip-round-metal-5", "clip-ovoid-polymer-5", "clip-keyhole-polymer-5"},
    8.0: {"clip-round-metal-5", "ball-ring-2.2", "ball-flex-2.2", "ball-metal-2.2", "magnet-flat-weld"},
    8.5: {"stud-thread-medium", "stud-weld-medium", "stud-single-medium", "magnet-cushion-weld"},
}
TOO_TALL = {
    6.8: {"ball-ring-2.2", "ball-flex-2.2", "stud-thread-medium", "magnet-flat-weld", "stud-single-light"},
    8.0: {"stud-single-medium", "magnet-flat-single", "ball-single-ring-2.25"},
    8.5: {"magnet-cushion-single", "ball-single-ring-2.25"},
}


@pytest.mark.parametrize("room_mm", FITS)
def test_what_fits_under_the_tooth(room_mm: float) -> None:
    defaults = CATALOGUE.defaults
    left_mm = room_mm - defaults.acrylic_mm.value - defaults.tooth_mm.value
    fitting = {a.id for a in REAL if a.stack.height_mm <= left_mm + 1e-9}

    assert FITS[room_mm] <= fitting
    assert set() == TOO_TALL[room_mm] & fitting
