"""Goods come in: what the cases of an order use leaves the stock, what is over from its packs goes in."""

from __future__ import annotations

from datetime import date

from solver.buying.order_file import OrderFile
from solver.buying.stock import Lot, Shelf, Stock


class ShortStock(Exception):
    """An order counts on pieces in stock that are no longer there."""

    def __init__(self, part: str, wanted: int, there: int) -> None:
        super().__init__(part, wanted, there)
        self.part, self.wanted, self.there = part, wanted, there


def received(stock: Stock, order: OrderFile, on: date) -> Stock:
    """The stock when an order has come in and its cases have their parts; raises `ShortStock`."""
    parts = dict(stock.parts)
    for part, pieces in order.from_stock.items():
        parts[part] = _taken(parts.get(part, Shelf()), part, pieces, on)
    for part, pieces in order.left_over.items():
        shelf = parts.get(part, Shelf())
        parts[part] = shelf.model_copy(update={"lots": (*shelf.lots, Lot(pieces=pieces, order=order.order))})
    kits = tuple(dict.fromkeys((*stock.kits, *order.kits)))
    return stock.model_copy(update={"parts": parts, "kits": kits})


def _taken(shelf: Shelf, part: str, pieces: int, on: date) -> Shelf:
    """A shelf without some pieces, those first that expire first; emptied lots go."""
    if shelf.usable(on) < pieces:
        raise ShortStock(part, pieces, shelf.usable(on))
    lots, left = list(shelf.lots), pieces
    usable = [i for i, lot in enumerate(lots) if lot.expires is None or lot.expires >= on]
    for i in sorted(usable, key=lambda i: lots[i].expires or date.max):
        gone = min(left, lots[i].pieces)
        lots[i], left = lots[i].model_copy(update={"pieces": lots[i].pieces - gone}), left - gone
    return shelf.model_copy(update={"lots": tuple(lot for lot in lots if lot.pieces)})
