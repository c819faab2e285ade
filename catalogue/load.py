"""Load the starter catalogue and lay a user's own files over it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import reduce
from operator import getitem
from pathlib import Path
from typing import Any

from catalogue.like import written_out
from catalogue.mistakes import Place
from catalogue.models import Catalogue
from catalogue.sheet import Finding, read_sheet, refuse
from catalogue.yaml_text import Document, Loc, read_yaml

STARTER = Path(__file__).parent / "starter"


def load_catalogue(overlays: Iterable[str | Path | Document] = (), *, starter: bool = True) -> Catalogue:
    """The starter catalogue with `overlays` laid over it in order, files or documents read before.

    An overlay names only what differs: its keys add to or replace those of the same entry, `null` takes an
    entry out. An entry may be told by what differs from another (see `catalogue.like`). Without `starter` the
    overlays must make a whole catalogue. Raises `InputError`.
    """
    base = sorted(STARTER.glob("*.yaml")) if starter else []
    documents = [one if isinstance(one, Document) else read_yaml(one) for one in (*base, *overlays)]
    whole = reduce(_lay_over, documents, Document("catalogue", {}, {}, {}))
    catalogue = read_sheet(Catalogue, _with_ids(whole))
    refuse(whole, _loose_ends(catalogue))
    return catalogue


def _lay_over(below: Document, above: Document) -> Document:
    if not isinstance(above.data, dict):
        refuse(above, {(): Finding("expected `key: value` lines", "start with `attachments:`")})
    above, fresh = written_out(above, below.data)
    below = _without(below, fresh)
    refuse(above, dict(_idle_nulls(below.data, above.data)))
    return Document(
        above.path,
        _merge(below.data, above.data),
        {**_uncovered(below.places, above), **above.places},
        {**_uncovered(below.keys, above), **above.keys},
    )


def _without(below: Document, fresh: frozenset[Loc]) -> Document:
    """What lies below, without the entries that the file above tells anew."""
    if not fresh:
        return below
    data = {
        group: {name: entry for name, entry in entries.items() if (group, name) not in fresh}
        if isinstance(entries, dict)
        else entries
        for group, entries in below.data.items()
    }
    places, keys = (
        {loc: place for loc, place in old.items() if loc[:2] not in fresh} for old in (below.places, below.keys)
    )
    return Document(below.path, data, places, keys)


def _idle_nulls(below: Any, above: Any, loc: Loc = ()) -> Iterator[tuple[Loc, Finding]]:
    """What is to be taken out and is not there: a slip of the pen would leave the wrong one in.

    A decimal comma in brackets is one too: YAML reads `{low: 3,5}` as `low: 3` and an empty key `5`.
    """
    if not (isinstance(below, dict) and isinstance(above, dict)):
        return
    for key, value in above.items():
        if value is None and key not in below:
            name = "id" if len(loc) == 1 else "key"
            as_it_stands = f"write its {name} as it stands, or leave the line out"
            advice = "write decimals with a point" if key.isdigit() else as_it_stands
            yield (*loc, key), Finding(f"there is no '{key}' to take out", advice)
        yield from _idle_nulls(below.get(key), value, (*loc, key))


def _uncovered(places: Mapping[Loc, Place], above: Document) -> dict[Loc, Place]:
    """Places of what is left to see under `above`: a list or word of its own hides all that stood there."""
    mappings = {loc[:-1] for loc in above.keys}
    laid = places.keys() & above.places.keys()
    covers = {loc for loc in laid if loc not in mappings and reduce(getitem, loc, above.data) != {}}
    if not covers:  # as with most files, which add entries of their own
        return dict(places)
    return {loc: place for loc, place in places.items() if not any(loc[:n] in covers for n in range(len(loc)))}


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
    for group in ("attachments", "reworks"):
        for name, entry in getattr(catalogue, group).items():
            for index, step in enumerate(entry.steps):
                if step not in catalogue.reworks:
                    found[group, name, "steps", index] = Finding(
                        f"no rework is called '{step}'", "add it under `reworks`"
                    )
                elif group == "reworks" and catalogue.reworks[step].steps:
                    found[group, name, "steps", index] = Finding(
                        f"'{step}' has steps of its own", "name them here, before it, and take them out there"
                    )
                elif step in entry.steps[:index]:
                    found[group, name, "steps", index] = Finding(
                        f"the step '{step}' is named twice", "a step is done once at a site; name it once"
                    )
    if not catalogue.attachments:
        found["attachments",] = Finding("the catalogue holds no attachment", "add at least one")
    return found
