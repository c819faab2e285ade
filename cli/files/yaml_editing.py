"""The editor of YAML files that people wrote: comments, quotes, order and long lines stay as they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any

from ruamel.yaml import YAML

from catalogue.yaml_text import Loc


def editor(width: int = 100_000) -> YAML:
    """An editor that breaks no line shorter than `width`."""
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = width
    return yaml


def dumped(yaml: YAML, sheet: Mapping[Any, Any]) -> str:
    """The text of an edited file."""
    written = StringIO()
    yaml.dump(sheet, written)
    return written.getvalue()


def leaves(data: Any, loc: Loc = ()) -> Iterator[tuple[Loc, Any]]:
    """Every value of a document that is no map, with its place."""
    if isinstance(data, dict) and data:
        for key, value in data.items():
            yield from leaves(value, (*loc, key))
    else:
        yield loc, data
