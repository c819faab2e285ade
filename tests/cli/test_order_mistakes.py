"""`regrip stock order` refuses what cannot be ordered for: usage, currencies, suppliers and stock."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from tests.cli.orders import CLIPS, SUPPLIERS, written
from tests.cli.ran import Run

BAD = {
    "no case": ([], "no case is given"),
    "twice": (["one.yaml", "one.yaml"], "given twice"),
    "tolerance": (["one.yaml", "--tolerance", "much"], "'much' is no tolerance"),
    "receive without stock": (["--receive", "order.json"], "give --stock FILE"),
}


@pytest.mark.parametrize(("arguments", "said"), BAD.values(), ids=BAD)
def test_usage(run: Run, arguments: list[str], said: str) -> None:
    ran = run("order", *arguments)

    assert BAD_INPUT == ran.code
    assert said in ran.err


def test_one_order_has_one_currency(run: Run, cases: list[Path], tmp_path: Path) -> None:
    other = written(tmp_path, "chf.yaml", CLIPS.replace("currency: EUR", "currency: CHF, exchange: 0.9"))
    ran = run("order", cases[0], other)

    assert BAD_INPUT == ran.code
    assert "chf.yaml:11:19: money.currency: " in ran.err


MISTAKES = {
    "part": ("part: clip-spring, pieces: 1", "part: clip-sprint, pieces: 1", "offers.0.part: nothing is called"),
    "currency": ("currency: EUR", "currency: CHF", "suppliers.yaml:1:11: currency: the cases pay in EUR"),
    "band": ("price: 24", "price: 30", "up_to is below price"),
    "break": ("price: 60, up_to: 70", "price: 75", "a pack is dearer from 2 packs on"),
    "kit": ("- {part: gauge, price: 15}", "# none", "kits.gauge: nobody offers this kit"),
    "reserved": ("depot:", "catalogue:", "stands for prices of the catalogue"),
    "served": ("serves: [clip-spring]", "serves: [clip]", "kits.gauge.serves.0: nothing is called 'clip'"),
}


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES.values(), ids=MISTAKES)
def test_mistakes_in_a_suppliers_file(
    run: Run, cases: list[Path], tmp_path: Path, old: str, new: str, said: str
) -> None:
    suppliers = written(tmp_path, "suppliers.yaml", SUPPLIERS.replace(old, new, 1))
    ran = run("order", cases[0], "--suppliers", suppliers)

    assert BAD_INPUT == ran.code
    assert said in ran.err


@pytest.mark.parametrize(
    ("stock", "said"),
    [
        ("parts: {nothing: {}}", "stock.yaml:1:18: parts.nothing: no attachment is called 'nothing'"),
        ("parts: {clip-spring: {lots: [{pieces: -1}]}}", "stock.yaml:1:39: parts.clip-spring.lots.0.pieces: "),
        ("parts: {clip-spring: {lots: [{pieces: 1, expires: soon}]}}", "parts.clip-spring.lots.0.expires: "),
    ],
    ids=["part", "debt", "date"],
)
def test_mistakes_in_a_stock_file(run: Run, cases: list[Path], tmp_path: Path, stock: str, said: str) -> None:
    ran = run("order", cases[0], "--stock", written(tmp_path, "stock.yaml", stock))

    assert BAD_INPUT == ran.code
    assert said in ran.err
