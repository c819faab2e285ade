"""A supplier's CSV: what it may look like, and what is said where it cannot be read."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from catalogue.price_list import read_prices

CLIP, BALL = "clip-round-metal-5", "clip-round-polymer-3"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def read(catalogue: Catalogue, text: str | bytes, decimals: int = 2) -> list[tuple[str, int, float, float, str]]:
    Path("new.csv").write_bytes(text.encode() if isinstance(text, str) else text)
    quotes = read_prices("new.csv", catalogue, decimals)
    return [(quote.attachment, quote.pieces, quote.low, quote.high, quote.source) for quote in quotes]


GOOD = {
    "one price": ("attachment,price,currency\n{c},21.50,EUR\n", [(CLIP, 1, 21.5, 21.5, "")]),
    "a band": ("attachment,low,high,currency\n{c},20,24.5,EUR\n", [(CLIP, 1, 20, 24.5, "")]),
    "a band in one row, a price in the next": (
        "attachment,price,low,high,currency\n{c},,20,24,EUR\n{b},9,,,EUR\n",
        [(CLIP, 1, 20, 24, ""), (BALL, 1, 9, 9, "")],
    ),
    "packs and sources": (
        "source,pieces,attachment,price,currency,note\nours,4,{c},70,EUR,by phone\n,1,{c},20,EUR,\n",
        [(CLIP, 4, 70, 70, "ours"), (CLIP, 1, 20, 20, "")],
    ),
    "semicolons and decimal commas": ("attachment;price;currency\n{c};21,50;EUR\n", [(CLIP, 1, 21.5, 21.5, "")]),
    "semicolons and decimal points": ("attachment;price;currency\n{c};21.50;EUR\n", [(CLIP, 1, 21.5, 21.5, "")]),
    "tabs": ("attachment\tprice\tcurrency\n{c}\t21,5\tEUR\n", [(CLIP, 1, 21.5, 21.5, "")]),
    "byte order mark and CRLF": (
        "\ufeffattachment,price,currency\r\n{c},2,EUR\r\n",
        [(CLIP, 1, 2, 2, "")],
    ),
    "quotes, spaces, capitals, empty lines": (
        '\n Attachment , price,CURRENCY,source\n\n"{c}", 2,EUR,"list ""A"", 2030"\n,,,\n',
        [(CLIP, 1, 2, 2, 'list "A", 2030')],
    ),
    "cells left out at the end": ("attachment,price,currency,source\n{c},2,EUR\n", [(CLIP, 1, 2, 2, "")]),
    "the largest pack and amount": (
        "attachment,price,currency,pieces\n{c},1000000,EUR,10000\n",
        [(CLIP, 10_000, 1e6, 1e6, "")],
    ),
    "free of charge": ("attachment,price,currency\n{c},0,EUR\n", [(CLIP, 1, 0, 0, "")]),
}


@pytest.mark.parametrize(("text", "quotes"), GOOD.values(), ids=GOOD)
def test_what_is_read(
    here: Path, catalogue: Catalogue, text: str, quotes: list[tuple[str, int, float, float, str]]
) -> None:
    assert quotes == read(catalogue, text.format(c=CLIP, b=BALL))


HEAD = "attachment,price,currency\n"
BAD = {
    "empty": ("", "new.csv:1:1: holds no prices; write a row for each attachment below the names"),
    "names alone": (HEAD, "new.csv:1:1: holds no prices; write a row for each attachment below the names"),
    "slip in a column": (
        "attachment,prise,currency\n{c},1,EUR\n",
        "new.csv:1:1: the column `price`, or `low` and `high`, is missing; name the columns in the first line\n"
        "new.csv:1:12: there is no column 'prise'; did you mean `price`?",
    ),
    "a column of the supplier": (
        "attachment,price,currency,xyz\n{c},1,EUR,1\n",
        "new.csv:1:27: there is no column 'xyz'; "
        "known: attachment, price, low, high, currency, pieces, source, note",
    ),
    "a column twice": (
        "attachment,price,currency,price\n{c},1,EUR,1\n",
        "new.csv:1:27: the column `price` stands twice; remove one of them",
    ),
    "no currency": (
        "attachment,price\n{c},1\n",
        "new.csv:1:1: the column `currency` is missing; name the columns in the first line",
    ),
    "only one end": (
        "attachment,low,currency\n{c},1,EUR\n",
        "new.csv:1:1: the column `price`, or `low` and `high`, is missing; name the columns in the first line",
    ),
    "unknown, like another": (
        HEAD + "clip-round-metl-5,1,EUR\n",
        "new.csv:2:1: attachment: no attachment is called 'clip-round-metl-5'; "
        "did you mean `clip-round-metal-5` or `clip-round-metal-8` or `clip-round-metal-3`?",
    ),
    "unknown, like none": (
        HEAD + "qqq,1,EUR\n",
        "new.csv:2:1: attachment: no attachment is called 'qqq'; `regrip catalogue list` names them all",
    ),
    "no attachment": (
        HEAD + ",1,EUR\n",
        "new.csv:2:1: attachment: the attachment is missing; write its id of the catalogue",
    ),
    "other currency": (
        HEAD + "{c},1,CHF\n",
        "new.csv:2:22: currency: the catalogue is in EUR, got 'CHF'; give prices in EUR",
    ),
    "currency left out": (
        HEAD + "{c},1\n",
        "new.csv:2:1: currency: the catalogue is in EUR, got nothing; give prices in EUR",
    ),
    "decimal comma among commas": (
        HEAD + "{c},21,50,EUR\n",
        "new.csv:2:26: expected 3 cells, got 4; write decimals with a point, or part the columns with semicolons",
    ),
    "a cell too many": (HEAD + "{c},x,EUR,y\n", "new.csv:2:26: expected 3 cells, got 4"),
    "decimal comma too many among semicolons": (
        "attachment;price;currency\n{c};21,50;EUR;1,5\n", "new.csv:2:30: expected 3 cells, got 4",
    ),
    "decimal comma in quotes": (
        HEAD + '{c},"21,50",EUR\n',
        "new.csv:2:20: price: expected an amount up to 1,000,000, got '21,50'; write `21.50`",
    ),
    "thousands": (
        "attachment;price;currency\n{c};1.234,50;EUR\n",
        "new.csv:2:20: price: expected an amount up to 1,000,000, got '1.234,50'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "three decimals, or thousands": (
        "attachment;price;currency\n{c};1.234;EUR\n",
        "new.csv:2:20: price: expected an amount up to 1,000,000, got '1.234'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "negative": (
        HEAD + "{c},-1,EUR\n",
        "new.csv:2:20: price: expected an amount up to 1,000,000, got '-1'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "high below low": (
        "attachment,low,high,currency\n{c},3,2,EUR\n",
        "new.csv:2:22: high: high is below low: 2 < 3",
    ),
    "a high that cannot be read is not below the low": (
        "attachment,low,high,currency\n{c},3,x,EUR\n",
        "new.csv:2:22: high: expected an amount up to 1,000,000, got 'x'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "more than the largest amount": (
        HEAD + "{c},1000000.01,EUR\n",
        "new.csv:2:20: price: expected an amount up to 1,000,000, got '1000000.01'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "more than the largest pack": (
        "attachment,price,currency,pieces\n{c},3,EUR,10001\n",
        "new.csv:2:26: pieces: expected a whole number from 1 to 10,000, got '10001'; "
        "write the pieces in the pack, or leave it empty for one",
    ),
    "price and band": (
        "attachment,price,low,high,currency\n{c},3,2,3,EUR\n",
        "new.csv:2:20: price: has both a price and a band; give `price`, or `low` and `high`",
    ),
    "price and one end": (
        "attachment,price,low,high,currency\n{c},3,,3,EUR\n",
        "new.csv:2:20: price: has both a price and a band; give `price`, or `low` and `high`",
    ),
    "one end of a band": (
        "attachment,price,low,high,currency\n{c},,2,,EUR\n",
        "new.csv:2:23: high: expected an amount up to 1,000,000, got nothing; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals",
    ),
    "pieces": (
        "attachment,price,currency,pieces\n{c},3,EUR,2.5\n",
        "new.csv:2:26: pieces: expected a whole number from 1 to 10,000, got '2.5'; "
        "write the pieces in the pack, or leave it empty for one",
    ),
    "twice": (
        "attachment,price,currency,pieces\n{c},3,EUR,\n{c},4,EUR,1\n",
        "new.csv:3:1: attachment: 'clip-round-metal-5' is priced twice (first in line 2); remove one of the rows",
    ),
    "open quote": (
        HEAD + '{c},"3,EUR\n',
        'new.csv:2:20: the quotes in this line do not close a cell; write a quote within a cell as `""`',
    ),
    "every mistake at once": (
        HEAD + "{c},x,EUR\n{c},1,USD\n",
        "new.csv:2:20: price: expected an amount up to 1,000,000, got 'x'; "
        "write it plainly, such as 21.50: no unit, no thousands set apart, at most 2 decimals\n"
        "new.csv:3:22: currency: the catalogue is in EUR, got 'USD'; give prices in EUR",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "said"), BAD.values(), ids=BAD)
def test_what_is_refused(here: Path, catalogue: Catalogue, text: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        read(catalogue, text.format(c=CLIP))

    assert said == str(refused.value)


def test_a_rework_is_no_part(here: Path, catalogue: Catalogue) -> None:
    rework = next(iter(catalogue.reworks))
    with pytest.raises(InputError, match=f"'{rework}' is a rework; set its fee in your catalogue"):
        read(catalogue, f"{HEAD}{rework},1,EUR\n")


def test_other_encodings_are_refused(here: Path, catalogue: Catalogue) -> None:
    with pytest.raises(InputError, match=r"new\.csv:2:1: is not UTF-8 text; save the file as UTF-8"):
        read(catalogue, f"{HEAD}{CLIP},1,£\n".encode("latin-1"))


def test_a_currency_with_three_decimals(here: Path, catalogue: Catalogue) -> None:
    dinars = catalogue.model_copy(update={"currency": "KWD"})

    assert [(CLIP, 1, 1.234, 1.234, "")] == read(dinars, f"{HEAD}{CLIP},1.234,KWD\n", decimals=3)


def test_an_amount_may_have_two_decimals_where_the_currency_has_none(here: Path, catalogue: Catalogue) -> None:
    yen = catalogue.model_copy(update={"currency": "JPY"})

    assert [(CLIP, 1, 12.34, 12.34, "")] == read(yen, f"{HEAD}{CLIP},12.34,JPY\n", decimals=0)
