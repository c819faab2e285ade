"""Two catalogues compared figure by figure, with units and sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from catalogue.blocks import Band
from catalogue.models import Catalogue
from catalogue.quantities import QUANTITIES
from catalogue.sheet import Sheet

Value: TypeAlias = float | str | bool | tuple[Any, ...] | None


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure or word. A band is the pair (low, high). `source` is empty for what needs none."""

    value: Value
    source: str = ""


@dataclass(frozen=True, slots=True)
class Changed:
    """One figure before and after, None where it was not there; the unit may be empty."""

    entry: str
    figure: str
    before: Figure | None
    after: Figure | None
    unit: str


@dataclass(frozen=True, slots=True)
class Difference:
    """Entries by their place (`attachments.clip-...`) added and gone, and every figure changed in the others."""

    added: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[Changed, ...] = ()

    @property
    def altered(self) -> tuple[str, ...]:
        """The entries in which some figure changed, each once."""
        return tuple(dict.fromkeys(figure.entry for figure in self.changed))


def difference(before: Catalogue, after: Catalogue) -> Difference:
    """What differs, by name and in the order of the file. The order of needs, packs and entries is no difference."""
    old, new = _entries(before), _entries(after)
    both = sorted(old.keys() & new.keys())
    return Difference(
        tuple(sorted(new.keys() - old.keys())),
        tuple(sorted(old.keys() - new.keys())),
        tuple(found for name in both for found in _changed(name, old[name], new[name], after.currency)),
    )


def _entries(catalogue: Catalogue) -> Mapping[str, Sheet | str]:
    entries: dict[str, Sheet | str] = {"currency": catalogue.currency, "version": catalogue.version}
    for group in ("attachments", "reworks", "sources"):
        entries |= {f"{group}.{name}": entry for name, entry in getattr(catalogue, group).items()}
    for name in type(catalogue.defaults).model_fields:
        if (entry := getattr(catalogue.defaults, name)) is not None:
            entries[f"defaults.{name}"] = entry
    return entries


def _changed(entry: str, before: Sheet | str, after: Sheet | str, currency: str) -> Iterator[Changed]:
    old, new = dict(_figures(before, (), "")), dict(_figures(after, (), ""))
    for loc in dict.fromkeys((*old, *new)):
        if old.get(loc) != new.get(loc):
            unit = _unit((entry.rpartition(".")[2], *loc), currency)
            yield Changed(entry, ".".join(loc), old.get(loc), new.get(loc), unit)


def _figures(part: Any, loc: tuple[str, ...], source: str) -> Iterator[tuple[tuple[str, ...], Figure]]:
    """Every figure of a part by its place in it; needs go by their quantity and packs by their pieces."""
    if isinstance(part, Band):
        yield loc, Figure((part.low, part.high), part.source)
    elif isinstance(part, Sheet):
        own = getattr(part, "source", source)
        names = [name for name in type(part).model_fields if name not in ("id", "source")]
        found = [figure for name in names for figure in _figures(getattr(part, name), (*loc, name), own)]
        yield from found or [(loc, Figure(None, own))]
    elif isinstance(part, Mapping):
        for key, value in part.items():
            yield from _figures(value, (*loc, str(key)), source)
    elif isinstance(part, tuple) and any(isinstance(one, Sheet) for one in part):
        for key, one in _keyed(part):
            yield from _figures(one, (*loc, key), source)
    elif part not in (None, ()):
        yield loc, Figure(part, source)


def _keyed(parts: tuple[Sheet, ...]) -> Iterator[tuple[str, Sheet]]:
    """The parts of a list by what names them, a second one of the name by its number too."""
    seen: dict[str, int] = {}
    for index, part in enumerate(parts, 1):
        name = str(getattr(part, "of", None) or getattr(part, "pieces", None) or index)
        seen[name] = seen.get(name, 0) + 1
        yield (name if seen[name] == 1 else f"{name} ({seen[name]})"), part


_UNITS = {
    "bench": "min", "chair": "min", "months": "months", "cycles": "insertions", "mm": "mm", "deg": "deg", "n": "N",
    "part": "mm", "housing": "mm", "spacer": "mm",
}  # fmt: skip
_OF_QUANTITY = ("at_least", "at_most", "up_to", *QUANTITIES)


def _unit(loc: tuple[str, ...], currency: str) -> str:
    """The unit of a figure by its place: that of its quantity, or what its name says."""
    last = loc[-1]
    if last == "price":
        return currency
    quantity = next((QUANTITIES[name] for step in loc if (name := step.partition(" ")[0]) in QUANTITIES), None)
    if quantity:
        return quantity.unit if last in _OF_QUANTITY else ""
    if last in _UNITS or loc[0] == "thin_base":
        return _UNITS.get(last, "mm" if last == "up_to" else "")
    ends = (step.rpartition("_")[2] for step in loc if "_" in step)
    return next((_UNITS[end] for end in ends if end in ("mm", "deg", "n")), "")
