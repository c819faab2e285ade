"""Look entries of a catalogue up: by id, or by what they are, where they go and how they move."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain
from typing import Literal, TypeAlias, get_args

from catalogue.blocks import AttachmentKind, Movement, SourceKind
from catalogue.models import Attachment, Catalogue, Rework, sources_in
from catalogue.quantities import SiteKind

Entry: TypeAlias = Attachment | Rework
Kind: TypeAlias = AttachmentKind | Literal["rework"]
Motion: TypeAlias = Literal["slide", "sideways", "down", "up", "hinge", "tip", "turn"]

KINDS: tuple[Kind, ...] = (*get_args(AttachmentKind), "rework")
MOTIONS: tuple[Motion, ...] = get_args(Motion)


class NoSuchEntry(Exception):
    """Nothing in the catalogue has this id; `close` are ids that look like it, the best first."""

    def __init__(self, name: str, close: tuple[str, ...]) -> None:
        super().__init__(name, close)
        self.name, self.close = name, close

    def __str__(self) -> str:
        return f"no attachment or rework is called '{self.name}'"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an entry must be to be listed; None asks nothing."""

    kind: Kind | None = None
    at: SiteKind | None = None
    metal: str | None = None
    source_kind: SourceKind | None = None
    moves: tuple[Motion, ...] = ()


def entry_of(catalogue: Catalogue, name: str) -> Entry:
    """The attachment or rework called `name`; raises `NoSuchEntry`."""
    found = catalogue.attachments.get(name) or catalogue.reworks.get(name)
    if found is None:
        known = (*catalogue.attachments, *catalogue.reworks)
        raise NoSuchEntry(name, tuple(difflib.get_close_matches(name, known, n=3)))
    return found


def entries_of(catalogue: Catalogue, wanted: Wanted) -> tuple[Entry, ...]:
    """Attachments by kind and id, then reworks by id, as far as they are wanted."""
    attachments = sorted(catalogue.attachments.values(), key=lambda entry: (KINDS.index(entry.kind), entry.id))
    reworks = sorted(catalogue.reworks.values(), key=lambda entry: entry.id)
    every: Iterable[Entry] = chain[Entry](attachments, reworks)
    return tuple(entry for entry in every if _is_wanted(entry, catalogue, wanted))


def kind_of(entry: Entry) -> Kind:
    """`clip`, `ball`, `stud`, `magnet`, `bare` or `rework`."""
    return entry.kind if isinstance(entry, Attachment) else "rework"


def source_keys(entry: Entry) -> tuple[str, ...]:
    """The sources of an entry's figures, each once, in the order of the entry."""
    return tuple(dict.fromkeys(key for _, key in sources_in(entry)))


def unused_sources(catalogue: Catalogue) -> tuple[str, ...]:
    """Sources that no figure names, in alphabetical order."""
    used = {key for _, key in catalogue.iter_source_keys()}
    return tuple(sorted(catalogue.sources.keys() - used))


def motions(movement: Movement) -> tuple[Motion, ...]:
    """The motions that go further than the small play."""
    free: dict[Motion, float | str | None] = {
        "slide": movement.slide_mm,
        "sideways": movement.sideways_mm,
        "down": movement.down_mm,
        "up": movement.up_mm,
        "hinge": movement.hinge_deg,
        "tip": movement.tip_deg,
        "turn": movement.turn_deg,
    }
    return tuple(motion for motion, reach in free.items() if reach)


def _is_wanted(entry: Entry, catalogue: Catalogue, wanted: Wanted) -> bool:
    kinds = {catalogue.sources[key].kind for key in source_keys(entry)}
    return (
        wanted.kind in (None, kind_of(entry))
        and (wanted.at is None or wanted.at in entry.at)
        and (wanted.source_kind is None or wanted.source_kind in kinds)
        and (wanted.metal is None or _holds_metal(entry, wanted.metal))
        and (not wanted.moves or _moves(entry, wanted.moves))
    )


def _holds_metal(entry: Entry, metal: str) -> bool:
    return isinstance(entry, Attachment) and metal.casefold() in (name.casefold() for name in entry.metals)


def _moves(entry: Entry, asked: tuple[Motion, ...]) -> bool:
    return isinstance(entry, Attachment) and set(asked) <= set(motions(entry.movement))
