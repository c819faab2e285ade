"""Files in and out: cases and catalogues read with every mistake placed, results written whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from catalogue.models import Catalogue
from catalogue.sheet import refuse
from catalogue.yaml_text import Document
from cli.files.file_kinds import CASE
from cli.files.part_file import PRIVATE, part_of
from cli.files.reading import catalogue_of, document_of, name_of, raw_of
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.fit.pricing import NoExchange, purse_of

NOT_WRITTEN = "cannot be written: "


class Desk(NamedTuple):
    """What a command works on; `laid` are the files over the starter catalogue."""

    case: Case
    document: Document
    catalogue: Catalogue
    laid: tuple[str, ...] = ()
    raw: bytes = b""
    """The case file as it stands on the disk, where it was opened from there."""


def open_desk(case_path: str, overlays: Iterable[str] = ()) -> Desk:
    """The case and the catalogue with overlays; raises `InputError` for a bad file, or two that do not match.

    `-` as the path of the case is the standard input.
    """
    raw, laid = raw_of(case_path), tuple(overlays)
    document = document_of(CASE, raw, name_of(case_path))
    case = read_case(document)
    return desk_of(document, case, catalogue_of(laid))._replace(laid=laid, raw=raw)


def desk_of(document: Document, case: Case, catalogue: Catalogue) -> Desk:
    """A case laid beside a catalogue; raises `InputError` where they do not go together."""
    try:
        purse_of(case, catalogue)
    except NoExchange as error:
        refuse(document, {("money", "currency"): error.finding()})
    return Desk(case, document, catalogue)


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file by way of a temporary one beside it, so that it is never half-written; raises `OSError`.

    One that is there keeps its mode and owner.
    """
    with whole(path) as part:
        _put(part, content)


def write_private(path: Path, content: str | bytes) -> None:
    """The same, to be read by its owner alone."""
    with whole(path, PRIVATE) as part:
        _put(part, content)


@contextmanager
def whole(path: Path, mode: int | None = None) -> Iterator[Path]:
    """A temporary file beside `path` to write into; it takes its place when all went well. Raises `OSError`.

    Where `path` is a link, the file that it points to is the one that is written.
    """
    try:
        with part_of(path.resolve(), mode) as part:
            yield part
    except OSError as error:
        raise OSError(error.errno, f"{NOT_WRITTEN}{error.strerror}", str(path)) from None


def _put(part: Path, content: str | bytes) -> None:
    part.write_bytes(content.encode() if isinstance(content, str) else content)
