"""The stock file: lots on hand with their expiry, what is kept in reserve, and the kits that are there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Annotated

from pydantic import Field

from catalogue.blocks import Id, Text
from catalogue.models import Catalogue
from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import Document, Loc


class Lot(Sheet):
    """Pieces that came in together."""

    pieces: Annotated[int, Field(ge=0, le=1_000_000)] = Field(description="pieces left of it")
    expires: date | None = Field(default=None, description="last day of use, YYYY-MM-DD; left out = keeps")
    order: Text | None = Field(default=None, description="the order that it came with")


class Shelf(Sheet):
    """One part in stock."""

    lots: tuple[Lot, ...] = Field(default=(), description="what is there")
    reserve: Annotated[int, Field(ge=0, le=1_000_000)] = Field(default=0, description="pieces never planned away")

    def usable(self, on: date) -> int:
        """Pieces that have not expired by a day."""
        return sum(lot.pieces for lot in self.lots if lot.expires is None or lot.expires >= on)


class Stock(Sheet):
    """Everything on hand."""

    about: Text | None = Field(default=None, description="where and when it was counted")
    invented: bool = Field(default=False, description="true for examples")
    parts: dict[Id, Shelf] = Field(default={}, description="by the id of the attachment")
    kits: tuple[Id, ...] = Field(default=(), description="kits and tools on hand, by the key of the suppliers file")

    def free(self, on: date) -> Mapping[str, int]:
        """Pieces of each part that a plan may use on a day: neither expired nor in reserve."""
        return {name: free for name, shelf in self.parts.items() if (free := shelf.usable(on) - shelf.reserve) > 0}


def read_stock(document: Document, catalogue: Catalogue) -> Stock:
    """The stock in a document; raises `InputError`, also for a part that the catalogue does not know."""
    found = read_sheet(Stock, document)
    refuse(document, dict(_unknown(found, catalogue)))
    return found


def _unknown(found: Stock, catalogue: Catalogue) -> Iterator[tuple[Loc, Finding]]:
    for name in found.parts:
        if name not in catalogue.attachments:
            yield ("parts", name), Finding(f"no attachment is called '{name}'", "see `regrip catalogue list`")
