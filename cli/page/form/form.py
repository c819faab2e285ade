"""The form of a case: the strip of matters that concern the whole, and a card for every site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from catalogue.models import Catalogue
from catalogue.quantities import SiteKind
from catalogue.sheet import Sheet
from catalogue.yaml_text import Loc
from cli.page.form.entry import Kind
from cli.page.form.fields import Field, fields_of, kind_of
from cli.wording.numbers import Figures
from solver.case.schema import Allowed, Bar, Bite, Case, Denture, End, Money, Patient, Room, Segment, Support, Wanted
from solver.fit.proposal import BadPut, Put, read_put

PARTS: Mapping[str, tuple[str, type[Sheet]]] = {
    "patient": ("Patient", Patient),
    "money": ("Money", Money),
    "allowed": ("Work allowed", Allowed),
    "room": ("Room, whole case", Room),
    "bar": ("Bar", Bar),
    "denture": ("Denture", Denture),
    "bite": ("Bite", Bite),
    "wanted": ("Hold and movement asked", Wanted),
}
GROUPS: Mapping[str, tuple[SiteKind, type[Sheet]]] = {
    "segments": ("segment", Segment),
    "ends": ("end", End),
    "supports": ("support", Support),
}
SEVERITY_NOTE = "From 1, the easiest, to 100. Where nothing is written our own order holds; it has no source."
_OF_THE_CASE = ("case", "about", "arch", "opposing", "locale")


class Group(NamedTuple):
    """Fields under a heading."""

    key: str
    title: str
    fields: tuple[Field, ...]
    note: str = ""


class Choice(NamedTuple):
    """An attachment that may be put at a site by hand; `most` of them at once."""

    id: str
    name: str
    most: int


@dataclass(frozen=True, slots=True)
class Card:
    """One site: its figures, the room there where it differs from the whole, and what can be put there by hand."""

    name: str
    group: str
    kind: SiteKind
    told: str
    fields: tuple[Field, ...]
    room: tuple[Field, ...]
    put: Put | None
    choices: tuple[Choice, ...]


class NoSuchField(Exception):
    """A place that is no field of this case; `at` is what was asked for."""

    def __init__(self, at: str) -> None:
        super().__init__(at)
        self.at = at

    def __str__(self) -> str:
        return f"there is no field '{self.at}'"


def field_at(at: str, data: Mapping[str, Any]) -> tuple[Loc, Kind]:
    """Where a field stands in the file, and how it reads; raises `NoSuchField`."""
    steps = tuple(at.split("."))
    try:
        return steps, _kind(steps, data)
    except (KeyError, IndexError, ValueError):
        raise NoSuchField(at) from None


def _kind(steps: tuple[str, ...], data: Mapping[str, Any]) -> Kind:
    first, *rest = steps
    if first == "mix":
        if len(rest) != 1 or not any(rest[0] in (data.get(group) or {}) for group in GROUPS):
            raise KeyError(steps)
        return "text"
    if first in GROUPS:
        if rest[0] not in data[first]:
            raise KeyError(steps)
        return kind_of(GROUPS[first][1], tuple(rest[1:]))
    if first in PARTS:
        return kind_of(PARTS[first][1], tuple(rest))
    if first != "severity" and (first not in _OF_THE_CASE or rest):
        raise KeyError(steps)
    return kind_of(Case, steps)


def strip(data: Mapping[str, Any], figures: Figures) -> tuple[Group, ...]:
    """What concerns the whole case."""
    own = tuple(field for field in _own(data, figures) if field.at in _OF_THE_CASE)
    parts = (
        Group(key, title, tuple(fields_of(model, (key,), data.get(key) or {}, figures)))
        for key, (title, model) in PARTS.items()
    )
    hard = tuple(field for field in _own(data, figures) if field.at.startswith("severity."))
    return Group("case", "Case", own), *parts, Group("severity", "Hard to give up", hard, SEVERITY_NOTE)


def _own(data: Mapping[str, Any], figures: Figures) -> Iterator[Field]:
    of_parts = {*PARTS, *GROUPS, "mix"}
    return fields_of(Case, (), {key: value for key, value in data.items() if key not in of_parts}, figures)


def cards(data: Mapping[str, Any], catalogue: Catalogue, figures: Figures) -> tuple[Card, ...]:
    """Every site in order."""
    return tuple(
        _card(group, name, site or {}, data, catalogue, figures)
        for group in GROUPS
        for name, site in (data.get(group) or {}).items()
    )


def _card(
    group: str, name: str, site: Mapping[str, Any], data: Mapping[str, Any], catalogue: Catalogue, figures: Figures
) -> Card:
    kind, model = GROUPS[group]
    shared = {key: value for key, value in (data.get("room") or {}).items() if kind != "support" or key != "top_mm"}
    every = tuple(fields_of(model, (group, name), site, figures, shared))
    of_room = {f"{group}.{name}.{key}" for key in Room.model_fields}
    return Card(
        name=name,
        group=group,
        kind=kind,
        told=_told(kind, site),
        fields=tuple(field for field in every if field.at not in of_room),
        room=tuple(field for field in every if field.at in of_room),
        put=_put(str((data.get("mix") or {}).get(name, ""))),
        choices=tuple(
            Choice(entry.id, entry.name, entry.most if kind == "segment" else 1)
            for entry in catalogue.attachments.values()
            if kind in entry.at
        ),
    )


def _put(text: str) -> Put | None:
    """What is put there by hand; a line that cannot be read is told in the answer."""
    try:
        return read_put(text)
    except BadPut:
        return None


def _told(kind: SiteKind, site: Mapping[str, Any]) -> str:
    match kind:
        case "segment":
            return "bar between " + " and ".join(map(str, site.get("between", ())))
        case "end":
            return f"free end beyond {site.get('on')}"
        case _:
            return "support" + (f" at {site['tooth']}" if "tooth" in site else "")
