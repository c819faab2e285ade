"""`regrip stock receive`: the way of the goods into stock, once and whole."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.exit import BAD_INPUT, FITS
from tests.cli.orders import STOCK, written
from tests.cli.ran import Run

SHORT = STOCK.replace("reserve: 1", "reserve: 3")


class Delivery:
    """An order made against a stock file, ready to be received: one clip of two is in stock, the other is bought."""

    def __init__(self, run: Run, cases: list[Path], folder: Path) -> None:
        self.run, self.stock = run, written(folder, "stock.yaml", SHORT)
        self.journal = folder / "stock.journal.jsonl"
        made = run("order", *cases, "--stock", self.stock, "--on", "2030-01-01", "--json")
        self.file, self.order = written(folder, "order.json", made.out), made.answer

    def receive(self) -> Any:
        return self.run("order", "--receive", self.file, "--stock", self.stock, "--on", "2030-01-05", "--json")


@pytest.fixture
def delivery(run: Run, cases: list[Path], tmp_path: Path) -> Delivery:
    return Delivery(run, cases, tmp_path)


def test_receiving_keeps_the_file_and_books_the_pieces(delivery: Delivery) -> None:
    """What expires first goes first; reserve, comments and expired lots stay."""
    ran = delivery.receive()
    text = delivery.stock.read_text()

    assert FITS == ran.code
    assert "# counted by hand" in text
    assert "# top drawer" in text
    assert "2020-01-01" in text
    assert "2031-01-01" in text
    assert delivery.order["from_stock"] == ran.answer["from_stock"]
    assert [ran.content] == [json.loads(line) for line in delivery.journal.read_text().splitlines()]


def test_an_order_is_received_once(delivery: Delivery) -> None:
    delivery.receive()
    text, journal = delivery.stock.read_text(), delivery.journal.read_text()
    again = delivery.receive()

    assert BAD_INPUT == again.code
    assert "was received on 2030-01-05" in again.answer["message"]
    assert (text, journal) == (delivery.stock.read_text(), delivery.journal.read_text())


def test_a_run_that_died_between_journal_and_stock_is_finished(delivery: Delivery) -> None:
    before = delivery.stock.read_text()
    delivery.receive()
    after, journal = delivery.stock.read_text(), delivery.journal.read_text()
    delivery.stock.write_text(before)

    assert FITS == delivery.receive().code
    assert (after, journal) == (delivery.stock.read_text(), delivery.journal.read_text())


def test_a_torn_line_counts_for_nothing(delivery: Delivery) -> None:
    delivery.journal.write_text('{"order": "' + delivery.order["order"])

    assert FITS == delivery.receive().code
    assert 2 == len(delivery.journal.read_text().splitlines())


@pytest.mark.parametrize(
    ("before", "after"),
    [('"pieces": 1,', '"pieces": 2,'), ('"clip-spring": 1', '"clip-spring": 2')],
    ids=["bought", "from stock"],
)
def test_an_order_that_was_changed_is_refused(delivery: Delivery, before: str, after: str) -> None:
    made = delivery.file.read_text()
    changed = made.replace(before, after, 1)
    assert made != changed

    delivery.file.write_text(changed)
    ran = delivery.receive()

    assert BAD_INPUT == ran.code
    assert "was changed" in ran.answer["message"]


def test_pieces_that_are_gone_are_missed_before_anything_is_written(delivery: Delivery) -> None:
    gone = STOCK.replace("pieces: 3", "pieces: 0").replace("pieces: 1,", "pieces: 0,")
    delivery.stock.write_text(gone)
    ran = delivery.receive()

    assert BAD_INPUT == ran.code
    assert "from stock, and 0 are usable" in ran.answer["message"]
    assert gone == delivery.stock.read_text()
    assert "" == delivery.journal.read_text()
