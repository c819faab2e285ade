"""The figures of a catalogue that a choice could hang on and that nobody stands behind: from memory, or invented.

A figure with a band is tried at both ends of it. One without is tried a tenth below and above: our own choice, no
source. Words, and figures of nought, are not varied.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from catalogue.blocks import Band, Service, SourceKind, Wear, WhatIf
from catalogue.models import Catalogue
from catalogue.sheet import Sheet

WEAK: frozenset[SourceKind] = frozenset({"memory", "invented"})

WITHOUT_BAND = 0.1
"""Share by which a figure without a band is lowered and raised (our own choice, no source)."""

Path: TypeAlias = tuple[str | int, ...]

_NEVER_VARIED = frozenset(
    {
        "wear",
        "packs",
        "metals",
        "scans",
        "grinding",
        "recall",
        "denture",
        "makes",
        "changes",
        "hole_mm",
        "many_supports",
    }
)
"""Fields that no choice looks at (wear, packs, what every mix pays alike, words), sizes that a step is told to make
(they are no estimates, and how well they are met is its tolerance), and counts, which have no tenth."""


@dataclass(frozen=True, slots=True)
class WeakFigure:
    """A figure: where it stands, its source, the band that the catalogue gives (or the one value), and its ends."""

    path: Path
    source: str
    kind: SourceKind
    given: tuple[float, float]
    ends: tuple[float, float]

    @property
    def banded(self) -> bool:
        """True where the catalogue itself gives the ends."""
        return self.given == self.ends


def weak_figures(catalogue: Catalogue, *, over_years: bool = False) -> Iterator[WeakFigure]:
    """Every one in the order of the catalogue; what renewals take only where the cost over the years is asked."""
    for group in ("attachments", "reworks", "defaults"):
        for path, source, value in _numbers(getattr(catalogue, group), (group,), "", over_years=over_years):
            kind = catalogue.sources[source].kind
            low, high = (value.low, value.high) if isinstance(value, Band) else _pair(value)
            ends = (low, high) if _has_band(value) else (low * (1 - WITHOUT_BAND), high * (1 + WITHOUT_BAND))
            if kind in WEAK and ends[0] != ends[1]:
                yield WeakFigure(path, source, kind, (low, high), ends)


def with_figure(catalogue: Catalogue, path: Path, value: float) -> Catalogue:
    """The catalogue with a figure at this one value; of a band both ends are set to it."""
    changed: Catalogue = _replaced(catalogue, path, value)
    return changed


def _numbers(entry: Any, path: Path, source: str, *, over_years: bool) -> Iterator[tuple[Path, str, Any]]:
    """Every number, band or pair with the source that stands beside it."""
    if isinstance(entry, Sheet):
        source = getattr(entry, "source", source)
    if isinstance(entry, WhatIf | Wear) or (isinstance(entry, Service) and not over_years):
        return
    if source and (isinstance(entry, Band) or _has_band(entry) or _is_number(entry)):
        yield path, source, entry
        return
    for name, part in _parts(entry):
        if name not in _NEVER_VARIED:
            yield from _numbers(part, (*path, name), source, over_years=over_years)


def _parts(entry: Any) -> Iterator[tuple[str | int, Any]]:
    if isinstance(entry, Sheet):
        yield from ((name, getattr(entry, name)) for name in type(entry).model_fields)
    elif isinstance(entry, Mapping):
        yield from entry.items()
    elif isinstance(entry, tuple):
        yield from enumerate(entry)


def _is_number(entry: Any) -> bool:
    return isinstance(entry, int | float) and not isinstance(entry, bool)


def _has_band(entry: Any) -> bool:
    return isinstance(entry, Band) or (isinstance(entry, tuple) and len(entry) == 2 and all(map(_is_number, entry)))


def _pair(value: Any) -> tuple[float, float]:
    return (value[0], value[1]) if isinstance(value, tuple) else (value, value)


def _replaced(entry: Any, path: Path, value: float) -> Any:
    if path:
        head, rest = path[0], path[1:]
        if isinstance(entry, Sheet):
            name = str(head)
            return entry.model_copy(update={name: _replaced(getattr(entry, name), rest, value)})
        if isinstance(entry, Mapping):
            return {**entry, head: _replaced(entry[head], rest, value)}
        return tuple(_replaced(part, rest, value) if at == head else part for at, part in enumerate(entry))
    if isinstance(entry, Band):
        return entry.model_copy(update={"low": value, "high": value})
    return (value, value) if isinstance(entry, tuple) else value
