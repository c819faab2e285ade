"""Answers about the catalogue for machines: entries under the names of the file, with their sources written out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from catalogue.difference import Difference
from catalogue.find import Entry, kind_of, motions, source_keys, unused_sources
from catalogue.models import Attachment, Catalogue


def checked(catalogue: Catalogue, changes: Difference) -> dict[str, Any]:
    """A sound catalogue: how much it holds and what overlays did."""
    return {
        "status": "sound",
        "version": catalogue.version,
        "currency": catalogue.currency,
        "attachments": len(catalogue.attachments),
        "reworks": len(catalogue.reworks),
        "sources": len(catalogue.sources),
        "unused_sources": list(unused_sources(catalogue)),
        "added": list(changes.added),
        "changed": list(changes.altered),
        "taken_out": list(changes.gone),
    }


def listed(catalogue: Catalogue, entries: Sequence[Entry]) -> dict[str, Any]:
    """Entries in short."""
    return {
        "version": catalogue.version,
        "currency": catalogue.currency,
        "entries": [_short(catalogue, entry) for entry in entries],
    }


def shown(catalogue: Catalogue, entry: Entry) -> dict[str, Any]:
    """One entry whole, under the names of the file; `sources` writes out each source key in it."""
    return {
        "kind": kind_of(entry),
        "currency": catalogue.currency,
        **entry.model_dump(mode="json"),
        "sources": {key: catalogue.sources[key].model_dump(mode="json") for key in source_keys(entry)},
    }


def _short(catalogue: Catalogue, entry: Entry) -> dict[str, Any]:
    short: dict[str, Any] = {
        "id": entry.id,
        "kind": kind_of(entry),
        "name": entry.name,
        "at": list(entry.at),
        "price": {"low": entry.price.low, "high": entry.price.high},
        "source_kinds": sorted({catalogue.sources[key].kind for key in source_keys(entry)}),
    }
    if isinstance(entry, Attachment):
        short["retention_n"] = {"low": entry.retention_n.low, "high": entry.retention_n.high}
        short["moves"] = list(motions(entry.movement))
    return short
