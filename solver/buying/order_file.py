"""The order as a file: printed from, sent as JSON, and read again when the goods come in. Money in minor units."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import date
from typing import Annotated, TypeAlias

from pydantic import Field

from catalogue import names
from catalogue.blocks import Id
from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import Document
from solver.case.money import Cost

Count: TypeAlias = Annotated[int, Field(ge=0, le=10**9)]


class Span(Sheet):
    """A band of money, minor units."""

    low: int = Field(description="low end")
    high: int = Field(description="high end")

    @classmethod
    def of(cls, cost: Cost) -> Span:
        """The band of a cost."""
        return cls(low=cost.low, high=cost.high)

    @property
    def cost(self) -> Cost:
        """As the solver counts."""
        return Cost(self.low, self.high)


class OrderLine(Sheet):
    """Packs of one size of one part; `part` is empty for carriage."""

    supplier: str = Field(description="key in the suppliers file, or `catalogue`")
    part: str = Field(description="attachment or kit; empty for carriage")
    name: str = Field(description="what it is")
    pieces: Count = Field(description="pieces in a pack")
    packs: Count = Field(description="packs to order")
    each: Span = Field(description="price of a pack")
    total: Span = Field(description="price of all of them")
    shares: dict[str, Span] = Field(description="what each case pays of it")


class OrderCase(Sheet):
    """What one case gets and pays."""

    case: str = Field(description="file of the case")
    title: str = Field(description="its title")
    plan: Count = Field(description="plan taken; 0 is the best of the case by itself")
    mix: dict[str, str] = Field(description="site to what is fitted there")
    parts: dict[str, Count] = Field(description="pieces planned")
    kits: tuple[str, ...] = Field(description="kits used")
    own: Span = Field(description="minutes and reworks")
    invoice: Span = Field(description="share of the invoice")
    pays: Span = Field(description="both")
    alone: Span = Field(description="what it would pay with its best plan and an order of its own")
    cap: int | None = Field(description="most that the case may cost, where it says so")
    questions: tuple[str, ...] = Field(description="what to ask or measure before ordering")


class Substitution(Sheet):
    """Pieces of another part that serve for the one planned."""

    planned: Id = Field(description="part in the plans")
    by: Id = Field(description="part that is fitted")
    pieces: Count = Field(description="how many")


class OrderProof(Sheet):
    """How far it is proved that no order is cheaper."""

    outcome: str = Field(description="optimal: proved least at the high end; feasible: not proved in the time given")
    bound: int = Field(description="nothing costs less than this in all, minor units")


class OrderFile(Sheet):
    """A whole order."""

    order: str = Field(description="number, made from the content")
    made: date = Field(description="day for which stock was judged")
    currency: Annotated[str, Field(pattern=names.CURRENCY)] = Field(description="ISO 4217")
    digits: Count = Field(description="decimals of the currency")
    lines: tuple[OrderLine, ...] = Field(description="goods, then carriage, by supplier")
    from_stock: dict[Id, Count] = Field(description="pieces that the cases take from stock")
    left_over: dict[Id, Count] = Field(description="pieces over from packs")
    kits: tuple[Id, ...] = Field(description="kits bought")
    substitutions: tuple[Substitution, ...] = Field(description="parts fitted for another")
    cases: tuple[OrderCase, ...] = Field(description="who gets and pays what")
    not_ordered: dict[str, str] = Field(description="cases left out, and their status")
    reasons: dict[str, tuple[str, ...]] = Field(default={}, description="what would have to give for each of these")
    invoice: Span = Field(description="all goods and carriage")
    total: Span = Field(description="what all cases pay together")
    apart: Span = Field(description="what they would pay if each ordered for itself")
    proof: OrderProof = Field(description="how far it is proved")

    def numbered(self) -> OrderFile:
        """The same order with the number that its content gives."""
        return self.model_copy(update={"order": self._number()})

    def _number(self) -> str:
        # What is not ordered needs no reason to be received.
        content = json.dumps(self.model_dump(mode="json", exclude={"order", "reasons"}), sort_keys=True)
        return hashlib.sha256(content.encode()).hexdigest()[:12]


def read_order(document: Document) -> OrderFile:
    """An order read again; raises `InputError`, also where it was changed since it was made."""
    found = read_sheet(OrderFile, document)
    if found.numbered().order != found.order:
        refuse(document, {("order",): Finding("the order was changed after it was made", "make it anew")})
    return found


def received_pieces(order: OrderFile) -> Mapping[str, int]:
    """Pieces of each part that come in, kits not counted."""
    pieces: dict[str, int] = {}
    for line in order.lines:
        if line.part and line.part not in order.kits:
            pieces[line.part] = pieces.get(line.part, 0) + line.pieces * line.packs
    return pieces
