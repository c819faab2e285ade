"""The outlook file: what kinds of case are expected and how many, or what was used in the months of the past."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Self, TypeAlias

from pydantic import Field, model_validator

from catalogue.blocks import Id, Text
from catalogue.models import Catalogue
from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import Document, Loc

Count: TypeAlias = Annotated[int, Field(ge=0, le=10_000)]


class Kind(Sheet):
    """Cases that take the same parts."""

    share: Annotated[float, Field(gt=0, le=1e6)] = Field(description="weight against the other kinds")
    parts: dict[Id, Count] = Field(description="pieces that such a case takes, by part")


class Outlook(Sheet):
    """What is expected: a mix of cases at a rate, or the months of the past."""

    about: Text | None = Field(default=None, description="where this comes from")
    invented: bool = Field(default=False, description="true for examples")
    cases_per_month: Annotated[float, Field(gt=0, le=10_000)] | None = Field(
        default=None, description="mean number of cases a month, with `mix`"
    )
    mix: tuple[Kind, ...] = Field(default=(), max_length=500, description="kinds of case")
    history: tuple[dict[Id, Count], ...] = Field(
        default=(), max_length=600, description="one entry a month: pieces used, by part"
    )

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if bool(self.mix) == bool(self.history):
            raise ValueError("give either `mix` with `cases_per_month`, or `history`")
        if bool(self.mix) != (self.cases_per_month is not None):
            raise ValueError("`cases_per_month` goes with `mix`")
        return self

    @property
    def parts(self) -> tuple[str, ...]:
        """Every part named, in order."""
        named = [kind.parts for kind in self.mix] + list(self.history)
        return tuple(dict.fromkeys(part for parts in named for part in parts))


def read_outlook(document: Document, catalogue: Catalogue) -> Outlook:
    """The outlook in a document; raises `InputError`, also for a part that the catalogue does not know."""
    found = read_sheet(Outlook, document)
    entries: list[tuple[Loc, Mapping[str, int]]] = [
        (("mix", i, "parts"), kind.parts) for i, kind in enumerate(found.mix)
    ]
    entries += [(("history", i), month) for i, month in enumerate(found.history)]
    refuse(
        document,
        {
            (*loc, part): Finding(f"no attachment is called '{part}'", "see `regrip catalogue list`")
            for loc, parts in entries
            for part in parts
            if part not in catalogue.attachments
        },
    )
    return found
