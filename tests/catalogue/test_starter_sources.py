"""Where the figures of the starter catalogue come from, and what was published carried over as it stands."""

from __future__ import annotations

import re

import pytest

from tests.catalogue.starter import ATTACHMENTS, CATALOGUE, REAL


def test_prices_and_minutes_are_invented() -> None:
    own = {key for loc, key in CATALOGUE.iter_source_keys() if {"price", "work"} & {str(step) for step in loc}}

    assert {"price", "minutes"} == own
    assert {"invented"} == {CATALOGUE.sources[key].kind for key in own}


def test_service_intervals_follow_from_counted_events_where_a_class_was_counted() -> None:
    """Of sleeves on a parallel-sided bar no count was found."""
    by_habit = {a.id for a in REAL if a.service is not None and a.service.source == "teaching-habit"}

    assert {"clip-parallel-sleeve-6"} == by_habit
    assert "memory" == CATALOGUE.sources["teaching-habit"].kind


def test_what_the_patient_can_pull_and_the_small_play_are_no_published_figures() -> None:
    """Pulls lie within what follows from pinch norms that are remembered; see tests/solver/case/test_hand.py."""
    defaults = CATALOGUE.defaults

    assert "memory" == CATALOGUE.sources[defaults.pull_n.source].kind
    assert "invented" == CATALOGUE.sources[defaults.play.source].kind
    assert (15, 40, 60) == (defaults.pull_n.weak, defaults.pull_n.usual, defaults.pull_n.strong)


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
    "stud-single-tilted": (8.8 - 5.28, 8.8 + 5.28, "materials-2020"),
    "ball-flex-1.8": (21.04 - 3.29, 21.04 + 3.29, "braz-dent-j-2018"),
    "magnet-flat-weld": (4.5, 6, "rutkunas-2007"),
}
# Share lost as published: from the forces before and after, or as printed.
PUBLISHED_LOSS = {
    "ball-flex-2.25": ((27.13 - 21.85) / 27.13, (24.73 - 19.28) / 24.73, 1440),
    "stud-single-medium": (0.66, 0.66, 10_000),
    "stud-single-tilted": (0.89, 0.89, 10_000),
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
    """Manimala 2021, Materials 2020;13:3434, Wigianto 2022."""
    low, high, cycles = PUBLISHED_LOSS[name]
    wear = ATTACHMENTS[name].wear

    assert wear is not None
    assert (low, high) == pytest.approx(wear.loss, abs=0.005)
    assert cycles == wear.cycles
    assert "published" == CATALOGUE.sources[wear.source].kind


SIZED = {"ball": "ball-match", "clip": "section-match", "sleeve": "sleeve-fit"}


@pytest.mark.parametrize("name", [name for name in ATTACHMENTS if re.search(r"-\d", name)])
def test_a_size_in_a_label_says_where_it_comes_from(name: str) -> None:
    """No size may stand because one line of products has it: it was read somewhere, or is told to be a habit."""
    size = re.findall(r"-(\d[\d.]*)", name)[-1]
    kind = "sleeve" if "sleeve" in name else name.partition("-")[0]

    text = CATALOGUE.sources[SIZED[kind]].text
    assert re.search(rf"\b{re.escape(size)}( mm|,| and)", text), (name, text)
    assert f"{size} mm" in ATTACHMENTS[name].name
