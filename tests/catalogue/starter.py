"""The starter catalogue as its tests speak of it: its entries by kind, and what an entry needs and lets move."""

from __future__ import annotations

from collections.abc import Iterable

from catalogue.blocks import Movement, Need
from catalogue.load import load_catalogue
from catalogue.models import Attachment, Rework
from solver.case.sites import sites_of
from tests.solver.small import small_case

CATALOGUE = load_catalogue()
ATTACHMENTS = CATALOGUE.attachments
REWORKS = CATALOGUE.reworks
REAL = [a for a in ATTACHMENTS.values() if a.kind != "bare"]

# What a site of each kind can know; a need on anything else could never hold there.
KNOWN_AT = {site.kind: set(site.facts) for site in sites_of(small_case(), CATALOGUE.defaults)}
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
