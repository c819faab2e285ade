"""A practice's own catalogue: a file in the user's configuration folder, laid over the starter one without asking."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import click

VARIABLE = "REGRIP_CATALOGUE"
"""Names another file; set to nothing it says that there is none."""

FILE = "catalogue.yaml"


def own_catalogue() -> Path | None:
    """The file to lay over the starter catalogue: the one that the variable names, else that of the user, if any."""
    named = os.environ.get(VARIABLE)
    if named is not None:
        return Path(named).expanduser() if named.strip() else None
    usual = usual_place()
    return usual if usual.is_file() else None


def usual_place() -> Path:
    """Where a user's own catalogue stands: in the configuration folder of the platform."""
    return Path(click.get_app_dir("regrip")) / FILE


def with_own(overlays: Iterable[str]) -> tuple[tuple[str, ...], str | None]:
    """The files to lay over the starter catalogue, the own one undermost, and its name where it is one of them.

    One that is given by name too stays where it was given.
    """
    given, own = tuple(overlays), own_catalogue()
    if own is None:
        return given, None
    if any(_same(own, Path(each)) for each in given):
        return given, str(own)
    return (str(own), *given), str(own)


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
