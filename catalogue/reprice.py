"""A price list as an overlay: only the prices and packs that it changes, each with its source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from catalogue.blocks import Band, Pack
from catalogue.models import Attachment, Catalogue
from catalogue.price_list import Quote

SOURCE_KIND = "common-practice"
"""Kind of the source of a price list: nothing is published, and the price is what one pays."""


def overlay_of(catalogue: Catalogue, quotes: Iterable[Quote], default_source: str) -> dict[str, Any]:
    """What to lay over `catalogue` so that it holds these prices; empty where it holds them already.

    A row without a source takes `default_source`, a sentence. A sentence becomes a source of its own, found again by
    its text. Packs are written as the whole list, since a list in an overlay replaces the one below it.
    """
    keys = _Keys(catalogue)
    attachments: dict[str, Any] = {}
    for name, own in _by_attachment(quotes).items():
        entry = catalogue.attachments[name]
        prices = {
            quote.pieces: _band(quote.low, quote.high, keys.of(quote.source or default_source)) for quote in own
        }
        if laid := _entry(entry, prices):
            attachments[name] = laid
    used = {band["source"] for entry in attachments.values() for band in _bands(entry)}
    sources = {key: source for key, source in keys.fresh.items() if key in used}
    groups = {"sources": sources, "attachments": attachments}
    return {group: entries for group, entries in groups.items() if entries}


class _Keys:
    """Keys of sources, those of the catalogue and new ones."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.texts = {key: source.text for key, source in catalogue.sources.items()}
        self.fresh: dict[str, dict[str, str]] = {}

    def of(self, source: str) -> str:
        """The key itself, the key of the source with that text, or a new one."""
        if source in self.texts:
            return source
        known = next((key for key, text in self.texts.items() if text == source), None)
        return known or self._new(source)

    def _new(self, text: str) -> str:
        stem = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:50].strip("-") or "prices"
        key = next(key for n in range(1, len(self.texts) + 2)
                   if (key := stem if n == 1 else f"{stem}-{n}") not in self.texts)  # fmt: skip
        self.texts[key] = text
        self.fresh[key] = {"kind": SOURCE_KIND, "text": text}
        return key


def _by_attachment(quotes: Iterable[Quote]) -> Mapping[str, list[Quote]]:
    found: dict[str, list[Quote]] = {}
    for quote in quotes:
        found.setdefault(quote.attachment, []).append(quote)
    return found


def _band(low: float, high: float, source: str) -> dict[str, Any]:
    return {"low": _short(low), "high": _short(high), "source": source}


def _short(amount: float) -> float | int:
    """Whole amounts without a point, as people write them."""
    return int(amount) if amount == int(amount) else amount


def _entry(entry: Attachment, prices: Mapping[int, dict[str, Any]]) -> dict[str, Any]:
    laid: dict[str, Any] = {}
    if 1 in prices and not _holds(entry.price, prices[1]):
        laid["price"] = prices[1]
    if (packs := _packs(entry, prices)) != _as_written(entry.packs):
        laid["packs"] = packs
    return laid


def _packs(entry: Attachment, prices: Mapping[int, dict[str, Any]]) -> list[dict[str, Any]]:
    """The packs with new prices. A new pack is put in by its size; who sold by the piece goes on doing so."""
    old = _as_written(entry.packs)
    fresh = [pieces for pieces in prices if pieces > 1 and pieces not in {pack["pieces"] for pack in old}]
    if fresh and not old:
        old = [{"pieces": 1}]
    packs = [_repriced(pack, prices.get(pack["pieces"])) for pack in old]
    for pieces in sorted(fresh):
        packs.append({"pieces": pieces, "price": prices[pieces]})
    return packs


def _as_written(packs: Iterable[Pack]) -> list[dict[str, Any]]:
    return [
        {"pieces": pack.pieces}
        | ({"price": _band(pack.price.low, pack.price.high, pack.price.source)} if pack.price else {})
        for pack in packs
    ]


def _repriced(pack: dict[str, Any], price: dict[str, Any] | None) -> dict[str, Any]:
    """A pack of one that has no price of its own follows the piece."""
    if price is None or (pack["pieces"] == 1 and "price" not in pack):
        return pack
    return {**pack, "price": price}


def _holds(band: Band, price: Mapping[str, Any]) -> bool:
    return band.model_dump(mode="json") == price


def _bands(entry: Mapping[str, Any]) -> Sequence[Mapping[str, Any]]:
    packs = [pack["price"] for pack in entry.get("packs", ()) if "price" in pack]
    return [*([entry["price"]] if "price" in entry else []), *packs]
