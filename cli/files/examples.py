"""The worked examples that come with the program, all of them invented."""

from __future__ import annotations

from pathlib import Path

_PLACES = (Path(__file__).parents[1] / "examples", Path(__file__).parents[2] / "docs" / "examples")
"""Of an installed program, of a checkout."""


def cases() -> tuple[Path, ...]:
    """The worked cases, in order of name; empty where they were left out."""
    return _in_folder("*.yaml")


def others() -> tuple[Path, ...]:
    """Files for the commands of stock: what is on hand, who sells what, how many cases come."""
    return _in_folder("*/*.yaml")


def _in_folder(pattern: str) -> tuple[Path, ...]:
    return next((found for place in _PLACES if (found := tuple(sorted(place.glob(pattern))))), ())
