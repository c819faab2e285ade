"""Unsaved work kept beside the case file, so that nothing is lost when the page or the machine ends."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from catalogue.yaml_text import MOST_BYTES
from cli.files.desk import write_private

_HEAD = "# Unsaved work of `regrip page`, kept beside the file whose SHA-256 is "
_NAMED = re.compile(r"\.(.+)\.unsaved")
_MOST_LEFT = 99


class Recovery(NamedTuple):
    """Text that was not saved, and the digest of the file that it began from (empty for a new one)."""

    text: str
    began_from: str


class Left(NamedTuple):
    """Unsaved work that was left behind, and the file where it is."""

    at: Path
    text: str


def digest(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def recovery_path(case: Path, number: int = 1) -> Path:
    """Where the unsaved work of a case is kept; of a number beyond 1, what nobody has decided on while more came."""
    return case.with_name(f".{case.name}.unsaved" + (f"-{number}" if number > 1 else ""))


def keep(case: Path, kept: Recovery) -> None:
    """Write unsaved work, for nobody else to read; raises `OSError`."""
    write_private(recovery_path(case), f"{_HEAD}{kept.began_from or 'none'}\n{kept.text}")


def kept(case: Path, number: int = 1) -> Recovery | None:
    """Unsaved work that was left behind; None where there is none that can be read."""
    try:
        with recovery_path(case, number).open("rb") as file:
            text = file.read(MOST_BYTES + len(_HEAD) + 100).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    head, _, body = text.partition("\n")
    began_from = head.removeprefix(_HEAD)
    return Recovery(body, "" if began_from == "none" else began_from) if head.startswith(_HEAD) else None


def all_left(case: Path) -> Iterator[Left]:
    """All unsaved work of a case, the newest first."""
    for number in range(1, _MOST_LEFT + 1):
        if found := kept(case, number):
            yield Left(recovery_path(case, number), found.text)


def put_by(case: Path) -> Path:
    """The newest unsaved work moved out of the way of newer, and where to; raises `OSError`."""
    free = (n for n in range(2, _MOST_LEFT) if not recovery_path(case, n).exists())
    return recovery_path(case).replace(recovery_path(case, next(free, _MOST_LEFT)))


def names_kept(folder: Path) -> list[str]:
    """Names of the cases of a folder that have unsaved work, whether there is such a file or not."""
    found = (_NAMED.fullmatch(one.name) for one in folder.glob(".*.unsaved"))
    return sorted(name[1] for name in found if name and kept(folder / name[1]))


def drop(at: Path) -> None:
    """Unsaved work is saved, or not wanted; raises `OSError`."""
    at.unlink(missing_ok=True)
