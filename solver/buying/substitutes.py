"""What the catalogue lets stand in for a part: an entry equal in all that fit, movement and hold are judged by.

Names, prices, packs, services, wear and cautions may differ; retention may not, nor any need, step or minute. The
plan of a case then holds for the substitute word for word. Metals may be fewer, never others.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from catalogue.models import Attachment, Catalogue

_JUDGED = {
    "kind", "at", "needs", "steps", "length_mm", "spacing_mm", "most", "stack", "movement", "retention_n", "work",
    "magnetic",
}  # fmt: skip


def stands_in(other: Attachment, part: Attachment) -> bool:
    """True where `other` may be fitted wherever `part` is planned."""
    return set(other.metals) <= set(part.metals) and _judged(other) == _judged(part)


def substitutes(catalogue: Catalogue, parts: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """For each part itself, then what may stand in for it, in order of the catalogue."""
    return {
        name: (
            name,
            *(
                o
                for o, entry in catalogue.attachments.items()
                if o != name and stands_in(entry, catalogue.attachments[name])
            ),
        )
        for name in parts
    }


def _judged(part: Attachment) -> Any:
    return _without_sources(part.model_dump(include=_JUDGED))


def _without_sources(value: Any) -> Any:
    """The figures alone; where they come from and why they are asked for changes no judgement."""
    if isinstance(value, dict):
        return {key: _without_sources(inner) for key, inner in value.items() if key not in ("source", "why")}
    return [_without_sources(inner) for inner in value] if isinstance(value, tuple) else value
