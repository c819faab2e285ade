"""Where in a case file a fact stands, as `case.yaml:12`."""

from __future__ import annotations

from collections.abc import Iterable

from catalogue.yaml_text import Document, Loc


def lines_of(document: Document, locs: Iterable[Loc]) -> list[str]:
    """File and line of every key that stands in the file, each once."""
    places = (document.places[loc] for loc in locs if loc in document.places)
    return list(dict.fromkeys(f"{place.path}:{place.line}" for place in places))
