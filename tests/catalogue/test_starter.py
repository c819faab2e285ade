"""The starter catalogue: what it holds, where its figures come from, and the facts of the trade that it must tell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest

from catalogue.blocks import Movement, Need
from catalogue.load import STARTER, load_catalogue
from catalogue.models import Attachment, Rework
from catalogue.quantities import QUANTITIES
from catalogue.yaml_text import read_yaml

CATALOGUE = load_catalogue()
ATTACHMENTS = CATALOGUE.attachments
REWORKS = CATALOGUE.reworks
REAL = [a for a in ATTACHMENTS.values() if a.kind != "bare"]

# What a site of each kind can know; a need on anything else could never hold there.
KNOWN_AT = {
    "segment": {"section", "alloy", "width_mm", "height_mm", "undercut_mm", "gap_mm", "length_mm"},
    "end": {"alloy", "ball_mm", "neck_mm", "out_of_round_mm", "tilt_deg", "gap_mm", "length_mm"},
    "support": {"connection", "tilt_deg"},
}
KNOWN_ANYWHERE = {"space_mm", "room_mm", "breadth_mm"}
MOVES = ("slide_mm", "sideways_mm", "down_mm", "up_mm", "hinge_deg", "tip_deg", "turn_deg")


def named(pattern: str) -> list[Attachment]:
    """Attachments whose id starts so."""
    return [a for a in ATTACHMENTS.values() if a.id.startswith(pattern)]


def ids(entries: Iterable[Attachment | Rework]) -> list[str]:
    return [entry.id for entry in entries]


def need(entry: Attachment | Rework, of: str) -> Need:
    return next(n for n in entry.needs if n.of == of)


def needs(entry: Attachment | Rework) -> set[str]:
    return {n.of for n in entry.needs}


def moves(movement: Movement) -> dict[str, object]:
    """What goes further than the small play."""
    return {name: value for name in MOVES if (value := getattr(movement, name)) is not None}


SNAP_CLIPS = [a for a in ATTACHMENTS.values() if a.kind == "clip" and a.id != "clip-parallel-sleeve-6"]
POLYMER_CLIPS = [a for a in SNAP_CLIPS if "polymer" in a.id]
METAL_CLIPS = [a for a in SNAP_CLIPS if "metal" in a.id]
ROUND_CLIPS = named("clip-round-")
END_BALLS = [a for a in ATTACHMENTS.values() if a.kind == "ball" and a.at == ("end",)]
STUDS = [a for a in ATTACHMENTS.values() if a.kind == "stud"]
MAGNETS = [a for a in ATTACHMENTS.values() if a.kind == "magnet"]
ON_THE_BAR = [a for a in REAL if a.at != ("support",)]
SINGLE = [a for a in REAL if a.at == ("support",)]

# The catalogue as a whole


def test_counts_by_kind() -> None:
    assert {"clip": 11, "ball": 13, "stud": 8, "magnet": 4, "bare": 1} == Counter(
        a.kind for a in ATTACHMENTS.values()
    )
    assert 12 == len(REWORKS)
    assert "EUR" == CATALOGUE.currency


def test_every_source_is_used() -> None:
    assert set(CATALOGUE.sources) == {key for _, key in CATALOGUE.iter_source_keys()}


@pytest.mark.parametrize("path", sorted(STARTER.glob("*.yaml")), ids=lambda path: path.name)
def test_files_open_with_a_comment_and_keep_to_the_width_of_the_code(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()

    assert lines[0].startswith("# ")
    assert [] == [number for number, line in enumerate(lines, 1) if len(line) > 118 or line != line.rstrip()]


def test_no_entry_stands_in_two_files() -> None:
    """The files are laid over each other, so that a second one of the same id would change the first unseen."""
    files = [read_yaml(path).data for path in STARTER.glob("*.yaml")]

    for group in ("sources", "attachments", "reworks"):
        count = Counter(name for data in files for name in data.get(group, ()))
        assert dict.fromkeys(getattr(CATALOGUE, group), 1) == count


@pytest.mark.parametrize(
    "entry", [*ATTACHMENTS.values(), *REWORKS.values()], ids=ids([*ATTACHMENTS.values()]) + ids(REWORKS.values())
)
def test_needs_ask_only_what_their_sites_can_know(entry: Attachment | Rework) -> None:
    for kind in entry.at:
        assert set() == needs(entry) - KNOWN_AT[kind] - KNOWN_ANYWHERE


@pytest.mark.parametrize("entry", ATTACHMENTS.values(), ids=ids(ATTACHMENTS.values()))
def test_room_and_length_follow_from_stack_and_length_and_are_not_asked_twice(entry: Attachment) -> None:
    assert set() == needs(entry) & {"room_mm", "length_mm"}


@pytest.mark.parametrize("entry", ATTACHMENTS.values(), ids=ids(ATTACHMENTS.values()))
def test_steps_belong_to_the_same_kind_of_site(entry: Attachment) -> None:
    for step in entry.steps:
        assert set(entry.at) <= set(REWORKS[step].at)
        assert REWORKS[step].always_with


def test_steps_that_only_go_with_an_attachment_are_named_by_one() -> None:
    named_steps = {step for a in ATTACHMENTS.values() for step in a.steps}

    assert named_steps == {r.id for r in REWORKS.values() if r.always_with}


@pytest.mark.parametrize("entry", REAL, ids=ids(REAL))
def test_every_attachment_tells_wear_service_packs_and_metals(entry: Attachment) -> None:
    assert entry.wear is not None
    assert entry.service is not None
    assert 1 == entry.packs[0].pieces
    assert all(metal == metal.lower() for metal in entry.metals)
    assert entry.metals


@pytest.mark.parametrize("entry", REAL, ids=ids(REAL))
def test_a_larger_pack_is_never_dearer_by_the_piece(entry: Attachment) -> None:
    for pack in entry.packs:
        if pack.price is not None:
            assert pack.price.low <= pack.pieces * entry.price.low
            assert pack.price.high <= pack.pieces * entry.price.high


# Where figures come from


def test_prices_and_minutes_are_invented() -> None:
    own = {key for loc, key in CATALOGUE.iter_source_keys() if {"price", "work"} & {str(step) for step in loc}}

    assert {"price", "minutes"} == own
    assert {"invented"} == {CATALOGUE.sources[key].kind for key in own}


def test_service_intervals_are_a_teaching_habit_from_memory() -> None:
    assert {"teaching-habit"} == {a.service.source for a in REAL if a.service is not None}
    assert "memory" == CATALOGUE.sources["teaching-habit"].kind


def test_what_the_patient_can_pull_and_the_small_play_are_no_published_figures() -> None:
    defaults = CATALOGUE.defaults

    assert {"invented"} == {CATALOGUE.sources[s].kind for s in (defaults.pull_n.source, defaults.play.source)}
    assert (15, 40, 65) == (defaults.pull_n.weak, defaults.pull_n.usual, defaults.pull_n.strong)


@pytest.mark.parametrize("key", CATALOGUE.sources)
def test_every_source_says_of_what_kind_it_is(key: str) -> None:
    """Published ones say what was read of them; the others say in words that they are no publication."""
    source = CATALOGUE.sources[key]

    if source.kind == "published":
        assert source.known is not None
        assert source.known.startswith("read ")
    elif source.kind == "invented":
        assert source.text.startswith(("our own", "invented"))
    elif source.kind == "memory":
        assert any(word in source.text for word in ("memory", "not looked up", "not checked"))
    else:
        assert source.text.startswith("common practice, no source")


# Retention of one attachment as published: mean and standard deviation, or band, in N.
PUBLISHED_N = {
    "ball-flex-2.25": (17.32 - 3.68, 17.32 + 3.68, "alsabeeha-2010"),
    "stud-thread-light": (3.83 - 0.64, 3.83 + 0.64, "alsabeeha-2010"),
    "stud-thread-medium": (9.40 - 0.74, 9.40 + 0.74, "alsabeeha-2010"),
    "stud-thread-strong": (12.39 - 0.55, 12.39 + 0.55, "alsabeeha-2010"),
    "stud-single-medium": (9.40 - 0.74, 9.40 + 0.74, "alsabeeha-2010"),
    "stud-single-wide": (8.8 - 5.28, 8.8 + 5.28, "materials-2020"),
    "ball-flex-1.8": (21.04 - 3.29, 21.04 + 3.29, "braz-dent-j-2018"),
    "magnet-flat-weld": (4.5, 6, "rutkunas-2007"),
}
# Share lost as published: from the forces before and after, or as printed.
PUBLISHED_LOSS = {
    "ball-flex-2.25": ((27.13 - 21.85) / 27.13, (24.73 - 19.28) / 24.73, 1440),
    "stud-single-medium": (0.66, 0.66, 10_000),
    "stud-single-wide": (0.89, 0.89, 10_000),
    "clip-round-polymer-5": (-0.0299, 0.5866, 3240),
    "magnet-flat-weld": (0, 0, 10_000),
}


@pytest.mark.parametrize("name", PUBLISHED_N)
def test_published_forces_are_carried_over(name: str) -> None:
    """Alsabeeha 2010, Materials 2020;13:3434, Braz Dent J 2018;29(6), Rutkunas 2007."""
    low, high, source = PUBLISHED_N[name]
    retention = ATTACHMENTS[name].retention_n

    assert low == pytest.approx(retention.low, abs=0.005)
    assert high == pytest.approx(retention.high, abs=0.005)
    assert source == retention.source


@pytest.mark.parametrize("name", PUBLISHED_LOSS)
def test_published_wear_is_carried_over(name: str) -> None:
    """Manimala 2021, Materials 2020;13:3434, BMC Oral Health 2022, Wigianto 2022."""
    low, high, cycles = PUBLISHED_LOSS[name]
    wear = ATTACHMENTS[name].wear

    assert wear is not None
    assert (low, high) == pytest.approx(wear.loss, abs=0.005)
    assert cycles == wear.cycles
    assert "published" == CATALOGUE.sources[wear.source].kind


# Facts of the trade (common practice, no source, unless a test names one)


@pytest.mark.parametrize("clip", SNAP_CLIPS, ids=ids(SNAP_CLIPS))
def test_a_snap_clip_holds_by_the_undercut(clip: Attachment) -> None:
    assert 0.3 == need(clip, "undercut_mm").at_least


@pytest.mark.parametrize("clip", POLYMER_CLIPS, ids=ids(POLYMER_CLIPS))
def test_a_polymer_clip_cannot_be_set_and_only_hinges(clip: Attachment) -> None:
    assert None is need(clip, "undercut_mm").waive
    assert {"hinge_deg"} == set(moves(clip.movement))
    assert 0 == clip.stack.spacer


@pytest.mark.parametrize("clip", METAL_CLIPS, ids=ids(METAL_CLIPS))
def test_a_metal_clip_is_activated_over_a_slight_undercut_and_never_over_none(clip: Attachment) -> None:
    undercut = need(clip, "undercut_mm")

    assert undercut.at_least is not None
    assert undercut.waive is not None
    assert 0.1 == undercut.waive.up_to < undercut.at_least
    assert undercut.waive.how.startswith("activate the lamellae")


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


WANTS_BREADTH = [a for a in REAL if a.kind != "clip"]


@pytest.mark.parametrize("attachment", WANTS_BREADTH, ids=ids(WANTS_BREADTH))
def test_a_housing_wants_9_mm_of_breadth_and_a_person_may_accept_8(attachment: Attachment) -> None:
    """Lee and Agar 2006, from memory."""
    breadth = need(attachment, "breadth_mm")

    assert breadth.waive is not None
    assert (9, 1) == (breadth.at_least, breadth.waive.up_to)
    assert "memory" == CATALOGUE.sources[breadth.source].kind


def test_the_wide_range_insert_takes_20_degrees() -> None:
    """Shafie and Obeid p 5: 20 deg at each implant."""
    tilt = need(ATTACHMENTS["stud-single-wide"], "tilt_deg")

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


# Reworks


def test_a_cut_off_end_moves_freely_holds_nothing_and_buys_nothing() -> None:
    bare = ATTACHMENTS["end-cut-off"]

    assert dict.fromkeys(MOVES, "free") == moves(bare.movement)
    assert (0, 0, 0, 0) == (bare.retention_n.high, bare.price.high, bare.stack.height_mm, len(bare.needs))
    assert (("end",), ("cut-off-end",)) == (bare.at, bare.steps)


PERMISSIONS = {
    "cap-ball-1.8": ("cut_bar",),
    "cap-ball-2.2": ("cut_bar",),
    "cap-ball-2.5": ("cut_bar",),
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


def test_the_bar_is_taken_off_once() -> None:
    assert ["take-bar-off"] == ids(r for r in REWORKS.values() if r.once)


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
        assert all(touched <= KNOWN_AT[kind] | KNOWN_ANYWHERE for kind in rework.at)


# Defaults


def test_a_base_of_2_mm_and_no_thinner_than_1_5() -> None:
    """Tokgoz 2019: 2 mm suffice plain, and are too thin to embed a reinforcement."""
    defaults = CATALOGUE.defaults

    assert (2.0, "tokgoz-2019") == (defaults.acrylic_mm.value, defaults.acrylic_mm.source)
    assert 0.5 == defaults.thin_base.up_to
    assert "common-practice" == CATALOGUE.sources[defaults.thin_base.source].kind


def test_the_upper_jaw_settles_more() -> None:
    assert (0.3, 0.4) == (CATALOGUE.defaults.settling_mm.lower, CATALOGUE.defaults.settling_mm.upper)


def test_before_a_scan_the_denture_comes_out_and_radiology_is_told() -> None:
    assert 0 == CATALOGUE.defaults.scans.up_to
    assert "take the denture out before any scan, and tell radiology of the keepers that stay in the mouth" == (
        CATALOGUE.defaults.scans.how
    )


def test_only_the_thread_leaves_a_hole_and_its_size_is_from_memory() -> None:
    holes = {name: rework.hole_mm for name, rework in REWORKS.items() if rework.hole_mm}

    assert ["thread-bar"] == list(holes)
    assert "memory" == CATALOGUE.sources[holes["thread-bar"].source].kind
    assert holes["thread-bar"].value < (need(REWORKS["thread-bar"], "width_mm").at_least or 0)
