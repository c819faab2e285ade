"""The suppliers file: who sells which part in which packs, with carriage, minimum orders and price breaks.

Amounts are in major units of `currency`. A price runs from `price` to `up_to`, which left out is the same.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterator
from itertools import pairwise
from typing import Annotated, Self, TypeAlias

from pydantic import Field, StringConstraints, model_validator

from catalogue import names
from catalogue.blocks import Amount, Id, Text
from catalogue.models import Catalogue
from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import Document, Loc

Packs: TypeAlias = Annotated[int, Field(ge=1, le=1000)]

CATALOGUE = "catalogue"
"""Stands for a supplier where only the catalogue has a price."""


class _Priced(Sheet):
    price: Amount = Field(description="price of one pack, low end")
    up_to: Amount | None = Field(default=None, description="its high end; left out = the same")

    @model_validator(mode="after")
    def _low_is_lower(self) -> Self:
        if self.high < self.price:
            raise ValueError(f"up_to is below price: {self.high:g} < {self.price:g}")
        return self

    @property
    def high(self) -> float:
        """High end of the price."""
        return self.price if self.up_to is None else self.up_to


class Break(_Priced):
    """From this number of packs on, every pack costs this."""

    packs: Annotated[int, Field(ge=2, le=1000)] = Field(description="packs of one offer from which it holds")


class Offer(_Priced):
    """A pack that a supplier sells."""

    part: Id = Field(description="an attachment of the catalogue or a kit of this file")
    pieces: Annotated[int, Field(ge=1, le=10_000)] = Field(default=1, description="pieces in the pack")
    least_packs: Packs = Field(default=1, description="fewest packs that are sold at a time")
    breaks: tuple[Break, ...] = Field(default=(), max_length=8, description="what more packs cost, each")

    @model_validator(mode="after")
    def _more_is_never_dearer(self) -> Self:
        steps: tuple[tuple[int, _Priced], ...] = ((self.least_packs, self), *((b.packs, b) for b in self.breaks))
        for (few, dear), (many, cheap) in pairwise(steps):
            if many <= few:
                raise ValueError(f"breaks rise in packs: {many} does not follow {few}")
            if cheap.price > dear.price or cheap.high > dear.high:
                raise ValueError(f"a pack is dearer from {many} packs on; raise `price` before it or lower the break")
        return self


class Supplier(Sheet):
    """A house that sends goods on one invoice."""

    name: Text = Field(description="its name in your books")
    carriage: Amount = Field(default=0.0, description="carriage of one order")
    free_from: Amount | None = Field(default=None, description="goods from which carriage is free; left out = never")
    minimum: Amount = Field(default=0.0, description="least value of goods of an order")
    offers: tuple[Offer, ...] = Field(min_length=1, max_length=500, description="what it sells")


class Kit(Sheet):
    """A tool or kit that is bought once and serves every case."""

    name: Text = Field(description="what it is")
    serves: tuple[Id, ...] = Field(min_length=1, description="attachments and reworks that cannot do without it")


class Suppliers(Sheet):
    """Who sells what."""

    about: Text | None = Field(default=None, description="where these prices come from")
    invented: bool = Field(default=False, description="true for examples")
    currency: Annotated[str, StringConstraints(pattern=names.CURRENCY)] = Field(description="ISO 4217")
    suppliers: dict[Id, Supplier] = Field(min_length=1, max_length=50, description="by a key of your own")
    kits: dict[Id, Kit] = Field(default={}, description="tools and kits, by a key of your own")


def read_suppliers(document: Document, catalogue: Catalogue, currency: str) -> Suppliers:
    """The suppliers in a document, in step with the catalogue and the currency of the cases; raises `InputError`."""
    found = read_sheet(Suppliers, document)
    refuse(document, dict(_findings(found, catalogue, currency)))
    return found


def _findings(found: Suppliers, catalogue: Catalogue, currency: str) -> Iterator[tuple[Loc, Finding]]:
    if found.currency != currency:
        yield ("currency",), Finding(f"the cases pay in {currency}", "give the prices in the currency of the cases")
    if CATALOGUE in found.suppliers:
        yield (
            ("suppliers", CATALOGUE),
            Finding(f"`{CATALOGUE}` stands for prices of the catalogue", "use another key"),
        )
    parts = {name for name, entry in catalogue.attachments.items() if entry.kind != "bare"}
    for name in found.kits:
        if name in parts or name in catalogue.reworks:
            yield ("kits", name), Finding(f"`{name}` is already in the catalogue", "give the kit another key")
    for key, supplier in found.suppliers.items():
        for index, offer in enumerate(supplier.offers):
            if offer.part not in parts | set(found.kits):
                yield ("suppliers", key, "offers", index, "part"), _missing(offer.part, parts | set(found.kits))
    for name, kit in found.kits.items():
        known = parts | set(catalogue.reworks)
        yield from (
            (("kits", name, "serves", i), _missing(served, known))
            for i, served in enumerate(kit.serves)
            if served not in known
        )
        if not any(offer.part == name for supplier in found.suppliers.values() for offer in supplier.offers):
            yield ("kits", name), Finding("nobody offers this kit", "add an offer, or take the kit out")


def _missing(name: str, known: Collection[str]) -> Finding:
    close = difflib.get_close_matches(name, sorted(known), n=1)
    advice = f"did you mean `{close[0]}`?" if close else "see `regrip catalogue list`"
    return Finding(f"nothing is called '{name}'", advice)
