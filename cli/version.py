"""Which regrip this is."""

from __future__ import annotations

from importlib import metadata

FORMAT = 1
"""Of the answers for machines: raised where a key goes or changes its meaning, not where one is added."""


def version() -> str:
    """Version of the installed program."""
    try:
        return metadata.version("regrip")
    except metadata.PackageNotFoundError:
        return "not installed"
