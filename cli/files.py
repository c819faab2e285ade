"""Files in and out: cases and catalogues read with every mistake placed, results written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.sheet import refuse
from catalogue.yaml_text import Document, read_yaml
from solver.case import Case
from solver.price import NoExchange, purse_of
from solver.read_case import read_case


class Desk(NamedTuple):
    """What a command works on."""

    case: Case
    document: Document
    catalogue: Catalogue


def open_desk(case_path: str, overlays: Iterable[str] = ()) -> Desk:
    """The case and the catalogue with overlays; raises `InputError` where they do not go together."""
    return desk_of(read_yaml(case_path), load_catalogue(overlays))


def desk_of(document: Document, catalogue: Catalogue) -> Desk:
    """The case in a document that was read, beside a catalogue; raises `InputError`."""
    case = read_case(document)
    try:
        purse_of(case, catalogue)
    except NoExchange as error:
        refuse(document, {("money", "currency"): error.finding()})
    return Desk(case, document, catalogue)


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file by way of a temporary one beside it, so that it is never half-written; raises `OSError`."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    except OSError as error:
        raise OSError(error.errno, f"cannot be written: {error.strerror}", str(path)) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode() if isinstance(content, str) else content)
            file.flush()
            os.fsync(file.fileno())
        umask = os.umask(0)
        os.umask(umask)
        Path(name).chmod(0o666 & ~umask)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
