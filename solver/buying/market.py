"""What can be had and where, in whole minor units: the suppliers file and the catalogue's own packs as one list."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalogue.models import Attachment, Catalogue
from solver.buying.suppliers import CATALOGUE, Offer, Supplier, Suppliers
from solver.case.money import Cost, Purse


@dataclass(frozen=True, slots=True)
class Tier:
    """From `packs` packs on, each pack costs `price`."""

    packs: int
    price: Cost


@dataclass(frozen=True, slots=True)
class Item:
    """A pack on offer. Tiers rise in packs and never in price; the first says how few are sold."""

    house: str
    part: str
    pieces: int
    tiers: tuple[Tier, ...]

    def price(self, packs: int) -> Cost:
        """Price of each of so many packs; raises `ValueError` for fewer than are sold."""
        fitting = [tier.price for tier in self.tiers if tier.packs <= packs]
        if not fitting:
            raise ValueError(f"{packs} packs of {self.part}: fewer than {self.tiers[0].packs} are not sold")
        return fitting[-1]


@dataclass(frozen=True, slots=True)
class House:
    """What a supplier asks beside its prices. Thresholds must be met at the low end of the prices."""

    id: str
    name: str
    carriage: int = 0
    free_from: int | None = None
    minimum: int = 0

    def carriage_of(self, goods: Cost) -> Cost:
        """Carriage of goods that are not none: surely free only where their low end reaches the threshold."""
        if self.free_from is None:
            return Cost(self.carriage, self.carriage)
        return Cost(*(0 if end >= self.free_from else self.carriage for end in (goods.high, goods.low)))


@dataclass(frozen=True, slots=True)
class Market:
    """Houses and what they sell; `instead` gives for each part what may serve for it, itself first."""

    houses: Mapping[str, House]
    items: tuple[Item, ...]
    instead: Mapping[str, tuple[str, ...]]

    def serving(self, part: str) -> tuple[str, ...]:
        """What may serve for a part."""
        return self.instead.get(part, (part,))


def market_of(
    catalogue: Catalogue,
    purse: Purse,
    parts: Iterable[str],
    instead: Mapping[str, tuple[str, ...]],
    suppliers: Suppliers | None = None,
) -> Market:
    """Everything on offer for these parts. Where no supplier sells a part, the catalogue's packs and prices stand."""
    sold = [] if suppliers is None else list(suppliers.suppliers.items())
    houses = {key: _house(key, supplier, purse) for key, supplier in sold}
    items = [_offered(key, offer, purse) for key, supplier in sold for offer in supplier.offers]
    listed = {item.part for item in items}
    wanted = dict.fromkeys(name for part in parts for name in instead.get(part, (part,)))
    for name in wanted:
        if name not in listed:
            items += _as_in_catalogue(catalogue.attachments[name], purse)
            houses.setdefault(CATALOGUE, House(CATALOGUE, "prices of the catalogue"))
    kits = set(suppliers.kits) if suppliers else set()
    return Market(houses, tuple(item for item in items if item.part in wanted or item.part in kits), instead)


def _house(key: str, supplier: Supplier, purse: Purse) -> House:
    free = None if supplier.free_from is None else purse.minor(supplier.free_from)
    return House(key, supplier.name, purse.minor(supplier.carriage), free, purse.minor(supplier.minimum))


def _offered(key: str, offer: Offer, purse: Purse) -> Item:
    steps = ((offer.least_packs, offer), *((b.packs, b) for b in offer.breaks))
    tiers = tuple(Tier(packs, Cost(purse.minor(step.price), purse.minor(step.high))) for packs, step in steps)
    return Item(key, offer.part, offer.pieces, tiers)


def _as_in_catalogue(part: Attachment, purse: Purse) -> list[Item]:
    """The packs of an entry; without packs it is sold by the piece."""
    piece = purse.price(part.price.low, part.price.high)
    packs = {pack.pieces: pack.price for pack in part.packs} or {1: None}
    return [
        Item(
            CATALOGUE,
            part.id,
            pieces,
            (
                Tier(
                    1, purse.price(price.low, price.high) if price else Cost(pieces * piece.low, pieces * piece.high)
                ),
            ),
        )
        for pieces, price in packs.items()
    ]
