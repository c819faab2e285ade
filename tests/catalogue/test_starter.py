"""The starter catalogue as a whole: what it holds, and what is taken where a case is silent."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from catalogue.like import written_out
from catalogue.load import STARTER
from catalogue.models import Attachment, Rework
from catalogue.yaml_text import read_yaml
from tests.catalogue.starter import ATTACHMENTS, CATALOGUE, KNOWN_AT, REAL, REWORKS, ids, need, needs


def test_counts_by_kind() -> None:
    assert {"clip": 12, "ball": 13, "stud": 8, "magnet": 4, "lining": 1, "bare": 1} == Counter(
        a.kind for a in ATTACHMENTS.values()
    )
    assert 14 == len(REWORKS)
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
    files = [written_out(read_yaml(path), {})[0].data for path in STARTER.glob("*.yaml")]

    for group in ("sources", "attachments", "reworks"):
        count = Counter(name for data in files for name in data.get(group, ()))
        assert dict.fromkeys(getattr(CATALOGUE, group), 1) == count


@pytest.mark.parametrize(
    "entry", [*ATTACHMENTS.values(), *REWORKS.values()], ids=ids([*ATTACHMENTS.values()]) + ids(REWORKS.values())
)
def test_needs_ask_only_what_their_sites_can_know(entry: Attachment | Rework) -> None:
    for kind in entry.at:
        assert set() == needs(entry) - KNOWN_AT[kind]


@pytest.mark.parametrize("entry", ATTACHMENTS.values(), ids=ids(ATTACHMENTS.values()))
def test_room_and_length_follow_from_stack_and_length_and_are_not_asked_twice(entry: Attachment) -> None:
    assert set() == needs(entry) & {"room_mm", "length_mm"}


@pytest.mark.parametrize("entry", ATTACHMENTS.values(), ids=ids(ATTACHMENTS.values()))
def test_steps_belong_to_the_same_kind_of_site(entry: Attachment) -> None:
    for step in entry.steps:
        assert set(entry.at) <= set(REWORKS[step].at)
        assert REWORKS[step].always_with


def test_steps_that_only_go_with_something_are_named_by_it() -> None:
    named_steps = {step for a in ATTACHMENTS.values() for step in a.steps}
    named_steps |= {step for r in REWORKS.values() for step in r.steps}

    assert named_steps == {r.id for r in REWORKS.values() if r.always_with}


@pytest.mark.parametrize("entry", REAL, ids=ids(REAL))
def test_every_attachment_tells_wear_service_packs_and_metals(entry: Attachment) -> None:
    assert entry.wear is not None
    assert entry.service is not None
    assert 1 == entry.packs[0].pieces
    assert all(metal == metal.lower() for metal in entry.metals)
    assert bool(entry.metals) == (entry.kind != "lining")


@pytest.mark.parametrize("entry", REAL, ids=ids(REAL))
def test_a_larger_pack_is_never_dearer_by_the_piece(entry: Attachment) -> None:
    for pack in entry.packs:
        if pack.price is not None:
            assert pack.price.low <= pack.pieces * entry.price.low
            assert pack.price.high <= pack.pieces * entry.price.high


# What is taken where a case is silent


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
