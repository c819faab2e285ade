"""Which regrip this is."""

from __future__ import annotations

from importlib import metadata


def version() -> str:
    """Version of the installed program."""
    try:
        return metadata.version("regrip")
    except metadata.PackageNotFoundError:
        return "not installed"
