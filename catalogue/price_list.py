"""A supplier's price list as CSV: rows of `attachment, price, currency`, each mistake at its line and column.

Columns, in any order: `attachment`, `currency`, and `price` or `low` and `high`; `pieces` (the row prices a pack of
so many; empty or 1 = one piece), `source` (a key of the catalogue, or a sentence) and `note` (not read) may be left
out. Columns are parted by commas, semicolons or tabs, as the first line shows. A decimal comma is read only where
semicolons or tabs part the columns; thousands are never set apart.
"""

from __future__ import annotations

import csv
import difflib
import math
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from catalogue.mistakes import InputError, Mistake, Place
from catalogue.models import Catalogue
from catalogue.yaml_text import read_text

COLUMNS = ("attachment", "price", "low", "high", "currency", "pieces", "source", "note")
MOST_PIECES = 10_000
MOST_AMOUNT = 1e6
MOST_WORDS = 600

_SEPARATORS = (";", "\t", ",")


@dataclass(frozen=True, slots=True)
class Quote:
    """What one row says: the price band of a pack of `pieces`, in the currency of the catalogue."""

    attachment: str
    pieces: int
    low: float
    high: float
    source: str
    place: Place


class _Cell(NamedTuple):
    text: str
    place: Place


class _Row(NamedTuple):
    cells: Mapping[str, _Cell]
    place: Place


def read_prices(path: str | Path, catalogue: Catalogue, decimals: int = 2) -> tuple[Quote, ...]:
    """The rows of a price list, in order; raises `InputError` with every mistake in it.

    `decimals`: most digits behind the decimal mark of an amount (those of the currency).
    """
    name = str(path)
    reader = _Reader(name, catalogue, decimals)
    quotes = reader.quotes(read_text(path, "CSV"))
    if reader.mistakes:
        raise InputError(tuple(reader.mistakes))
    return quotes


class _Reader:
    """Reads the rows and gathers what is wrong in them."""

    def __init__(self, name: str, catalogue: Catalogue, decimals: int) -> None:
        self.name, self.catalogue, self.decimals = name, catalogue, decimals
        self.mistakes: list[Mistake] = []
        self.separator = ","

    def quotes(self, text: str) -> tuple[Quote, ...]:
        rows = self._rows(text)
        first: dict[tuple[str, int], int] = {}
        found = []
        for quote in (quote for row in rows if (quote := self._quote(row)) is not None):
            key = (quote.attachment, quote.pieces)
            if key in first:
                what = f"'{quote.attachment}'" + (f" in packs of {quote.pieces}" if quote.pieces > 1 else "")
                self._wrong(quote.place, "attachment", f"{what} is priced twice (first in line {first[key]})",
                            "remove one of the rows")  # fmt: skip
            first.setdefault(key, quote.place.line)
            found.append(quote)
        if not found and not self.mistakes:
            self._wrong(Place(self.name), "", "holds no prices", "write a row for each attachment below the names")
        return tuple(found)

    def _rows(self, text: str) -> list[_Row]:
        lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip(" \t;,")]
        if not lines:
            return []
        (number, head), *rest = lines
        self.separator = next((s for s in _SEPARATORS if s in head), ",")
        named = self._cells(number, head)
        columns = [cell.text.lower() for cell in named]
        self._check_columns(columns, named)
        return [] if self.mistakes else [row for n, line in rest if (row := self._row(columns, n, line))]

    def _cells(self, number: int, line: str) -> list[_Cell]:
        try:
            values = next(csv.reader([line], delimiter=self.separator, strict=True))
        except csv.Error:
            place = Place(self.name, number, line.rfind('"') + 1 or 1)
            self._wrong(
                place, "", "the quotes in this line do not close a cell", 'write a quote within a cell as `""`'
            )
            return []
        starts = _starts(line, self.separator)
        return [_Cell(v.strip(), Place(self.name, number, s)) for v, s in zip(values, starts, strict=True)]

    def _check_columns(self, columns: Sequence[str], cells: Sequence[_Cell]) -> None:
        for index, (column, cell) in enumerate(zip(columns, cells, strict=True)):
            if column not in COLUMNS:
                close = _close(column, COLUMNS, 1)
                self._wrong(cell.place, "", f"there is no column '{cell.text}'",
                            f"did you mean {close}?" if close else f"known: {', '.join(COLUMNS)}")  # fmt: skip
            elif column in columns[:index]:
                self._wrong(cell.place, "", f"the column `{column}` stands twice", "remove one of them")
        there = {*columns, *(["price"] if {"low", "high"} <= set(columns) else [])}
        for column in ("attachment", "price", "currency"):
            if cells and column not in there:
                which = f"the column `{column}`" + (", or `low` and `high`," if column == "price" else "")
                self._wrong(cells[0].place, "", f"{which} is missing", "name the columns in the first line")

    def _row(self, columns: Sequence[str], number: int, line: str) -> _Row | None:
        cells = self._cells(number, line)
        if len(cells) > len(columns):
            comma = self.separator == "," and re.search(r"\d,\d", line)
            advice = "write decimals with a point, or part the columns with semicolons" if comma else ""
            self._wrong(cells[len(columns)].place, "", f"expected {len(columns)} cells, got {len(cells)}", advice)
            return None
        return _Row(dict(zip(columns, cells, strict=False)), Place(self.name, number)) if cells else None

    def _quote(self, row: _Row) -> Quote | None:
        before = len(self.mistakes)
        named = self._cell(row, "attachment")
        self._check_attachment(named)
        self._check_currency(self._cell(row, "currency"))
        pieces = self._pieces(self._cell(row, "pieces"))
        low, high = self._band(row)
        source = self._cell(row, "source")
        if len(source.text) > MOST_WORDS:
            self._wrong(source.place, "source", f"is longer than {MOST_WORDS} letters")
        if len(self.mistakes) > before:
            return None
        return Quote(named.text, pieces, low, high, source.text, named.place)

    def _cell(self, row: _Row, column: str) -> _Cell:
        return row.cells.get(column, _Cell("", row.place))

    def _check_attachment(self, cell: _Cell) -> None:
        known = self.catalogue.attachments
        if not cell.text:
            self._wrong(cell.place, "attachment", "the attachment is missing", "write its id of the catalogue")
        elif cell.text in self.catalogue.reworks:
            self._wrong(cell.place, "attachment", f"'{cell.text}' is a rework", "set its fee in your catalogue")
        elif cell.text not in known:
            close = _close(cell.text, known, 3)
            advice = f"did you mean {close}?" if close else "`regrip catalogue list` names them all"
            self._wrong(cell.place, "attachment", f"no attachment is called '{cell.text}'", advice)

    def _check_currency(self, cell: _Cell) -> None:
        if cell.text != self.catalogue.currency:
            got = f"'{cell.text}'" if cell.text else "nothing"
            self._wrong(cell.place, "currency", f"the catalogue is in {self.catalogue.currency}, got {got}",
                        f"give prices in {self.catalogue.currency}")  # fmt: skip

    def _pieces(self, cell: _Cell) -> int:
        if not cell.text:
            return 1
        if not re.fullmatch(r"[0-9]{1,5}", cell.text) or not 1 <= int(cell.text) <= MOST_PIECES:
            self._wrong(cell.place, "pieces", f"expected a whole number from 1 to {MOST_PIECES:,}, got '{cell.text}'",
                        "write the pieces in the pack, or leave it empty for one")  # fmt: skip
            return 1
        return int(cell.text)

    def _band(self, row: _Row) -> tuple[float, float]:
        """Low and high of a row: its `price`, or its `low` and `high`."""
        price, low, high = (self._cell(row, column) for column in ("price", "low", "high"))
        if price.text and (low.text or high.text):
            self._wrong(price.place, "price", "has both a price and a band", "give `price`, or `low` and `high`")
        if price.text or not (low.text or high.text):
            amount = self._amount("price", price)
            return amount, amount
        ends = self._amount("low", low), self._amount("high", high)
        if ends[0] > ends[1]:
            self._wrong(high.place, "high", f"high is below low: {ends[1]:g} < {ends[0]:g}")
        return ends

    def _amount(self, column: str, cell: _Cell) -> float:
        text = cell.text if self.separator == "," else cell.text.replace(",", ".", 1)
        decimals = max(self.decimals, 2)
        if re.fullmatch(rf"[0-9]{{1,7}}(\.[0-9]{{1,{decimals}}})?", text) and float(text) <= MOST_AMOUNT:
            return float(text)
        got = f"'{cell.text}'" if cell.text else "nothing"
        comma = re.fullmatch(r"[0-9]+,[0-9]{1,2}", cell.text)
        advice = f"write `{cell.text.replace(',', '.')}`" if comma else (
            f"write it plainly, such as 21.50: no unit, no thousands set apart, at most {decimals} decimals"
        )  # fmt: skip
        self._wrong(cell.place, column, f"expected an amount up to {MOST_AMOUNT:,.0f}, got {got}", advice)
        return math.nan  # neither above nor below another

    def _wrong(self, place: Place, where: str, problem: str, advice: str = "") -> None:
        self.mistakes.append(Mistake(place, where, problem, advice))


def _starts(line: str, separator: str) -> Iterator[int]:
    """The column, from 1, at which each cell of a line starts."""
    yield 1
    within = False
    for column, letter in enumerate(line, 1):
        within ^= letter == '"'
        if letter == separator and not within:
            yield column + 1


def _close(word: str, known: Collection[str], most: int) -> str:
    return " or ".join(f"`{name}`" for name in difflib.get_close_matches(word, list(known), n=most))
