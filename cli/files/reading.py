"""Files that a command takes, read by their kind: one of another kind is refused in one line."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from catalogue.sheet import Finding, refuse
from catalogue.yaml_text import MOST_BYTES, Document, parse_yaml, read_raw, text_of
from cli.files.file_kinds import CATALOGUE, Kind, wrong_kind

STANDARD_INPUT = "-"


def read_as(kind: Kind, path: str | Path) -> Document:
    """The YAML file as a document; raises `InputError`, with one mistake where the file is of another kind.

    `-` is the standard input.
    """
    return document_of(kind, raw_of(path), name_of(path))


def raw_of(path: str | Path) -> bytes:
    """The bytes of a file, or of the standard input; raises `InputError`."""
    if str(path) != STANDARD_INPUT:
        return read_raw(path)
    binary = getattr(sys.stdin, "buffer", None)
    return binary.read(MOST_BYTES + 1) if binary else sys.stdin.read(MOST_BYTES + 1).encode()


def name_of(path: str | Path) -> str:
    """How a file is called in messages."""
    return "stdin" if str(path) == STANDARD_INPUT else str(path)


def document_of(kind: Kind, raw: bytes, name: str) -> Document:
    """The same from the bytes of a file called `name`; raises `InputError`."""
    try:
        document = parse_yaml(text_of(raw, name), name)
    except InputError:
        _refuse(name, wrong_kind(kind, raw, None))
        raise
    _refuse(name, wrong_kind(kind, raw, document.data))
    return document


def refuse_other(kind: Kind, path: str | Path, form: str) -> None:
    """Raise `InputError` where a file that is no YAML, of a `form` such as CSV, is of another kind."""
    raw, data = read_raw(path, form), None
    with suppress(InputError):  # it need not be YAML
        data = parse_yaml(text_of(raw, str(path)), str(path)).data
    _refuse(str(path), wrong_kind(kind, raw, data))


def catalogue_of(overlays: Iterable[str | Path] = ()) -> Catalogue:
    """The starter catalogue with these files laid over it; raises `InputError`."""
    return load_catalogue([read_as(CATALOGUE, path) for path in overlays])


def _refuse(name: str, finding: Finding | None) -> None:
    if finding is not None:
        refuse(Document(name, None, {}, {}), {(): finding})
