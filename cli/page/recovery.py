"""Unsaved work kept beside the case file, so that nothing is lost when the page or the machine ends."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import NamedTuple

from catalogue.yaml_text import MOST_BYTES
from cli.files import write_whole

_HEAD = "# Unsaved work of `regrip page`, kept beside the file whose SHA-256 is "


class Recovery(NamedTuple):
    """Text that was not saved, and the digest of the file that it began from (empty for a new one)."""

    text: str
    began_from: str


def digest(text: str) -> str:
    """SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def recovery_path(case: Path) -> Path:
    """Where the unsaved work of a case is kept."""
    return case.with_name(f".{case.name}.unsaved")


def keep(case: Path, kept: Recovery) -> None:
    """Write unsaved work; raises `OSError`."""
    write_whole(recovery_path(case), f"{_HEAD}{kept.began_from or 'none'}\n{kept.text}")


def kept(case: Path) -> Recovery | None:
    """Unsaved work that was left behind; None where there is none that can be read."""
    try:
        with recovery_path(case).open("rb") as file:
            text = file.read(MOST_BYTES + len(_HEAD) + 100).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None
    head, _, body = text.partition("\n")
    began_from = head.removeprefix(_HEAD)
    return Recovery(body, "" if began_from == "none" else began_from) if head.startswith(_HEAD) else None


def drop(case: Path) -> None:
    """Unsaved work is saved, or not wanted."""
    recovery_path(case).unlink(missing_ok=True)
