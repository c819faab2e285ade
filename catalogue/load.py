"""Load the starter catalogue and lay a user's own files over it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce
from pathlib import Path
from typing import Any

from catalogue.models import Catalogue
from catalogue.sheet import Finding, read_sheet, refuse
from catalogue.yaml_text import Document, Loc, read_yaml

STARTER = Path(__file__).parent / "starter"


def load_catalogue(overlays: Iterable[str | Path] = (), *, starter: bool = True) -> Catalogue:
    """The starter catalogue with `overlays` laid over it in order.

    An overlay names only what differs: its keys add to or replace those of the same entry, `null` takes an
    entry out. Without `starter` the overlays must make a whole catalogue. Raises `InputError`.
    """
    base = sorted(STARTER.glob("*.yaml")) if starter else []
    documents = [read_yaml(path) for path in (*base, *overlays)]
    whole = reduce(_lay_over, documents, Document("catalogue", {}, {}, {}))
    catalogue = read_sheet(Catalogue, _with_ids(whole))
    refuse(whole, _loose_ends(catalogue))
    return catalogue


def _lay_over(below: Document, above: Document) -> Document:
    if not isinstance(above.data, dict):
        refuse(above, {(): Finding("expected `key: value` lines", "start with `attachments:`")})
    refuse(above, _idle_nulls(below.data, above.data))
    return Document(
        above.path,
        _merge(below.data, above.data),
        {**below.places, **above.places},
        {**below.keys, **above.keys},
    )


def _idle_nulls(below: Mapping[str, Any], above: Mapping[str, Any]) -> Mapping[Loc, Finding]:
    """Entries to be taken out that are not there: a slip of the pen would leave the wrong one in."""
    return {
        (group, name): Finding(
            f"there is no '{name}' to take out", "write its id as it stands, or leave the line out"
        )
        for group in ("sources", "attachments", "reworks")
        if isinstance(entries := above.get(group), dict)
        for name, entry in entries.items()
        if entry is None and name not in below.get(group, ())
    }


def _merge(below: Any, above: Any) -> Any:
    if not (isinstance(below, dict) and isinstance(above, dict)):
        return above
    merged = {**below, **{key: _merge(below.get(key), value) for key, value in above.items()}}
    return {key: value for key, value in merged.items() if value is not None}


def _with_ids(document: Document) -> Document:
    """Entries know their own key as `id`."""
    data = dict(document.data)
    for group in ("attachments", "reworks"):
        if isinstance(entries := data.get(group), dict):
            data[group] = {k: {**v, "id": k} if isinstance(v, dict) else v for k, v in entries.items()}
    return Document(document.path, data, document.places, document.keys)


def _loose_ends(catalogue: Catalogue) -> Mapping[Loc, Finding]:
    """Source keys and steps that lead nowhere; a catalogue that offers nothing."""
    found: dict[Loc, Finding] = {}
    for loc, key in catalogue.iter_source_keys():
        if key not in catalogue.sources:
            found[loc] = Finding(f"no source is called '{key}'", "add it under `sources`")
    for name, attachment in catalogue.attachments.items():
        for index, step in enumerate(attachment.steps):
            if step not in catalogue.reworks:
                found["attachments", name, "steps", index] = Finding(
                    f"no rework is called '{step}'", "add it under `reworks`"
                )
    if not catalogue.attachments:
        found["attachments",] = Finding("the catalogue holds no attachment", "add at least one")
    return found
