"""What overlays do to a catalogue: which entries they add, change and take out; sources nobody uses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalogue.models import Catalogue


@dataclass(frozen=True, slots=True)
class Changes:
    """Parts by their place in the file (`attachments.clip-...`, `defaults.hold_n`), in alphabetical order."""

    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    taken_out: tuple[str, ...] = ()


def changes(before: Catalogue, after: Catalogue) -> Changes:
    """What differs between two catalogues."""
    old, new = _parts(before), _parts(after)
    return Changes(
        tuple(sorted(new.keys() - old.keys())),
        tuple(sorted(name for name in new.keys() & old.keys() if new[name] != old[name])),
        tuple(sorted(old.keys() - new.keys())),
    )


def unused_sources(catalogue: Catalogue) -> tuple[str, ...]:
    """Sources that no figure names."""
    used = {key for _, key in catalogue.iter_source_keys()}
    return tuple(sorted(catalogue.sources.keys() - used))


def _parts(catalogue: Catalogue) -> Mapping[str, object]:
    """Every part by its dotted place in the file."""
    parts: dict[str, object] = {"currency": catalogue.currency}
    for group in ("attachments", "reworks", "sources"):
        parts |= {f"{group}.{name}": entry for name, entry in getattr(catalogue, group).items()}
    for name in type(catalogue.defaults).model_fields:
        parts[f"defaults.{name}"] = getattr(catalogue.defaults, name)
    return parts
