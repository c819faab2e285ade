"""Hold, wear and upkeep of the starter catalogue against what was measured on whole dentures.

The papers do not tell number and length of the clips, so every check is one of bands.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from catalogue.models import Attachment
from solver.handbook.wear import DAYS_PER_YEAR, USUAL_INSERTIONS_PER_DAY, Wear, newton_from_gram_force
from tests.catalogue.starter import (
    ATTACHMENTS,
    CATALOGUE,
    MAGNETS,
    METAL_CLIPS,
    POLYMER_CLIPS,
    SNAP_CLIPS,
    STUDS,
    ids,
    named,
)

BALLS = named("ball-")


def hold_n(entry: str, count: int = 1) -> tuple[float, float]:
    """What so many of an attachment hold when new, low and high."""
    band = ATTACHMENTS[entry].retention_n
    return count * band.low, count * band.high


@pytest.mark.parametrize("clip", SNAP_CLIPS, ids=ids(SNAP_CLIPS))
def test_one_clip_holds_5_to_20_newtons(clip: Attachment) -> None:
    """Derived from whole bars: BMC Oral Health 2022, van Kampen 2003, joddd-41514 (abstracts)."""
    assert 5 <= clip.retention_n.low < clip.retention_n.high <= 20
    source = "short-arms" if "shorten-arms" in clip.steps else "clip-force"
    assert source == clip.retention_n.source
    assert ("published", "invented") == (CATALOGUE.sources["clip-force"].kind, CATALOGUE.sources["short-arms"].kind)
    assert "derived" in (CATALOGUE.sources["clip-force"].known or "")


@pytest.mark.parametrize("clips", ["clip-round-polymer-", "clip-round-metal-"])
def test_a_longer_clip_holds_more(clips: str) -> None:
    """Our own share of what a whole bar holds; polymer clips and metal ones."""
    bands = [hold_n(f"{clips}{length}") for length in (3, 5, 8)]

    assert all(short[0] < long[0] and short[1] < long[1] for short, long in pairwise(bands))


# A new bar on two implants, N: nylon (initial, derived) and in the mouth.
TWO_IMPLANTS = {"BMC Oral Health 2022, nylon": 16.08, "van Kampen 2003": 31.3}


@pytest.mark.parametrize("paper", TWO_IMPLANTS)
def test_one_or_two_clips_hold_what_a_new_bar_on_two_implants_holds(paper: str) -> None:
    """BMC Oral Health 2022 and van Kampen 2003 (abstracts)."""
    mixes = [hold_n(clip.id, count) for clip in SNAP_CLIPS for count in (1, 2)]

    assert any(low <= TWO_IMPLANTS[paper] <= high for low, high in mixes)


def test_two_clips_hold_no_more_than_the_hardest_bar_measured() -> None:
    """42 N (initial, derived) with clips of a stiff polymer: BMC Oral Health 2022 (abstract)."""
    assert all(hold_n(clip.id, 2)[1] <= 42.02 for clip in SNAP_CLIPS)


def test_clips_on_four_implants_hold_what_such_a_bar_holds() -> None:
    """65.15 N: J Dent Res Dent Clin Dent Prospects, joddd-41514 (abstract)."""
    low, high = hold_n("clip-round-metal-5", 4)

    assert low <= 65.15 <= high


def test_balls_and_bar_hold_about_alike_and_magnets_far_less() -> None:
    """In the mouth 29.7, 31.3 and 8.1 N on two implants: van Kampen 2003 (abstract)."""
    balls, bar, magnets = (
        hold_n("ball-flex-2.25", 2),
        hold_n("clip-round-metal-8", 2),
        hold_n("magnet-flat-single", 2),
    )

    assert balls[0] <= 29.7 <= balls[1]
    assert 0.8 <= sum(bar) / sum(balls) <= 1.4
    assert 2.5 <= sum(balls) / sum(magnets) <= 5
    assert 0.7 <= 8.1 / magnets[0] <= 1


@pytest.mark.parametrize("clip", POLYMER_CLIPS, ids=ids(POLYMER_CLIPS))
def test_a_soft_clip_loses_nothing_to_a_little(clip: Attachment) -> None:
    """Nylon gained 2.99 % in three simulated years (BMC Oral Health 2022, abstract); the loss is our own."""
    assert clip.wear is not None
    assert (-0.03, 0.1) == clip.wear.loss
    assert "invented" == CATALOGUE.sources[clip.wear.source].kind


@pytest.mark.parametrize(
    ("clip", "count"), [("clip-round-polymer-5", 2), ("clip-round-polymer-8", 1), ("clip-round-metal-5", 2)]
)
def test_after_ten_years_a_bar_holds_what_was_measured_then(clip: str, count: int) -> None:
    """1,067 gf = 10.5 N on two implants after ten years: Naert 2004 (abstract)."""
    wear, (low_n, high_n) = ATTACHMENTS[clip].wear, hold_n(clip, count)
    assert wear is not None
    few, many = (10 * DAYS_PER_YEAR * a_day for a_day in USUAL_INSERTIONS_PER_DAY)

    least = Wear(wear.loss[1], wear.cycles).retention_after_n(low_n, many)
    most = Wear(wear.loss[0], wear.cycles).retention_after_n(high_n, few)

    assert least <= newton_from_gram_force(1067) <= most


# Services a year of two parts, from the later to the sooner date.
EVENTS = {
    "clips": ([*POLYMER_CLIPS, *METAL_CLIPS], 0.2, 0.6),
    "balls": (BALLS, 1.5, 2.0),
    "studs": (STUDS, 0.3, 1.5),
    "magnets": (MAGNETS, 0.1, 0.5),
}


def events(attachment: Attachment) -> tuple[float, float]:
    """Services a patient and year with two of an attachment, fewest and most."""
    assert attachment.service is not None
    sooner, later = attachment.service.months
    return 2 * 12 / later, 2 * 12 / sooner


@pytest.mark.parametrize("of", EVENTS)
def test_two_parts_are_seen_to_as_often_as_was_counted(of: str) -> None:
    """Walton 2002, Cristache 2012, Kleis 2010, Leem 2016 (abstracts, an excerpt)."""
    parts, fewest, most = EVENTS[of]

    for attachment in parts:
        few, many = events(attachment)
        assert fewest - 1e-9 <= few <= many <= most + 1e-9, attachment.id


def test_balls_are_seen_to_at_least_four_times_as_often_as_clips_on_a_bar() -> None:
    """84 of 100 against 20 of 100 needed a repair in the first year: Walton 2002 (abstract); 8 to 1 if Poisson."""
    for ball in BALLS:
        for clip in (*POLYMER_CLIPS, *METAL_CLIPS):
            for balls, clips in zip(events(ball), events(clip), strict=True):
                assert 4 - 1e-9 <= balls / clips <= 10
