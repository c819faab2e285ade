"""`regrip order`: what is bought, who pays, and the way of the goods into stock. Every figure is invented."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import catalogue.load
import cli.commands.order
from catalogue.yaml_text import read_yaml
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS, UNDECIDED
from tests.cli.ran import CASE, Run

CLIPS = CASE.replace("ends:\n  L: {on: i33, length_mm: 8, ball_mm: 2.2}\n", "")

STOCK = """\
# counted by hand
parts:
  clip-spring:  # top drawer
    reserve: 1
    lots:
      - {pieces: 1, expires: 2031-01-01}
      - {pieces: 3, expires: 2030-06-30}
      - {pieces: 5, expires: 2020-01-01}
"""
SUPPLIERS = """\
currency: EUR
suppliers:
  depot:
    name: The depot
    carriage: 9
    offers:
      - {part: clip-spring, pieces: 1, price: 24, up_to: 26}
      - {part: clip-spring, pieces: 4, price: 70, up_to: 80, breaks: [{packs: 2, price: 60, up_to: 70}]}
      - {part: gauge, price: 15}
kits:
  gauge: {name: Gauge for the arms, serves: [clip-spring]}
"""


@pytest.fixture
def cases(tmp_path: Path) -> list[Path]:
    """Two cases of the same bar; each takes clips on both segments or one, whatever holds at least cost."""
    paths = [tmp_path / "one.yaml", tmp_path / "two.yaml"]
    for path in paths:
        path.write_text(CLIPS)
    return paths


def written(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text)
    return path


def pieces(order: Any) -> int:
    return sum(line["pieces"] * line["packs"] for line in order["lines"] if line["part"] == "clip-spring")


def test_an_order_covers_the_plans_and_is_paid_in_full(run: Run, cases: list[Path]) -> None:
    ran = run("order", *cases, "--json")
    order = ran.answer
    needed = sum(case["parts"]["clip-spring"] for case in order["cases"])

    assert FITS == ran.code
    assert needed == pieces(order) - order["left_over"].get("clip-spring", 0)
    assert "optimal" == order["proof"]["outcome"]
    assert order["proof"]["bound"] == order["total"]["high"]
    for end in ("low", "high"):
        assert order["invoice"][end] == sum(line["total"][end] for line in order["lines"])
        assert order["invoice"][end] == sum(case["invoice"][end] for case in order["cases"])


def test_the_same_order_has_the_same_number(run: Run, cases: list[Path]) -> None:
    numbers = {run("order", *cases, "--on", "2030-01-01", "--json").answer["order"] for _ in range(2)}

    assert 1 == len(numbers)


def test_stock_goes_first_but_for_reserve_and_what_has_expired(run: Run, cases: list[Path], tmp_path: Path) -> None:
    stock = written(tmp_path, "stock.yaml", STOCK)
    without = run("order", *cases, "--json").answer
    order = run("order", *cases, "--stock", stock, "--on", "2030-01-01", "--json").answer
    needed = sum(case["parts"]["clip-spring"] for case in without["cases"])

    assert {"clip-spring": min(needed, 3)} == order["from_stock"]


def test_a_supplier_is_printed_with_carriage_and_kit(run: Run, cases: list[Path], tmp_path: Path) -> None:
    ran = run("order", *cases, "--suppliers", written(tmp_path, "suppliers.yaml", SUPPLIERS))

    assert FITS == ran.code
    assert "From depot" in ran.out
    assert "carriage" in ran.out
    assert 1 == sum("gauge: Gauge" in line for line in ran.out.splitlines())
    assert "proved least" in " ".join(ran.out.split())


def test_lines_as_csv(run: Run, cases: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "order.csv"
    order = run("order", *cases, "--csv", out, "--json").answer
    rows = list(csv.DictReader(out.read_text().splitlines()))

    assert [line["part"] for line in order["lines"]] == [row["part"] for row in rows]
    assert order["invoice"]["high"] == round(100 * sum(float(row["total_high"]) for row in rows))


def test_joint_is_no_dearer(run: Run, cases: list[Path], tmp_path: Path) -> None:
    suppliers = written(tmp_path, "suppliers.yaml", SUPPLIERS)
    plain = run("order", *cases, "--suppliers", suppliers, "--json").answer
    joint = run("order", *cases, "--suppliers", suppliers, "--joint", "--tolerance", "50%", "--json").answer

    assert joint["total"]["high"] <= plain["total"]["high"] <= plain["apart"]["high"]


def test_a_case_that_does_not_fit_is_left_out(run: Run, cases: list[Path], tmp_path: Path) -> None:
    poor = written(tmp_path, "poor.yaml", CLIPS.replace("{currency", "{cap: 1, currency"))
    ran = run("order", *cases, poor, "--json")

    assert DOES_NOT_FIT == ran.code
    assert ["one", "two"] == [case["case"] for case in ran.answer["cases"]]
    assert ["poor"] == list(ran.answer["not_ordered"])


def test_no_order_in_time_is_undecided(run: Run, cases: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """The search itself is made to end with nothing: how long it takes is no matter of this test."""
    monkeypatch.setattr(cli.commands.order, "order_for", lambda *_, **__: None)
    ran = run("order", *cases, "--json")

    assert (UNDECIDED, "undecided") == (ran.code, ran.answer["status"])


class Delivery:
    """An order made against a stock file, ready to be received."""

    def __init__(self, run: Run, cases: list[Path], folder: Path) -> None:
        self.run, self.stock = run, written(folder, "stock.yaml", STOCK)
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
    assert [ran.answer] == [json.loads(line) for line in delivery.journal.read_text().splitlines()]


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


def test_an_order_that_was_changed_is_refused(delivery: Delivery) -> None:
    delivery.file.write_text(delivery.file.read_text().replace('"pieces": 1,', '"pieces": 2,', 1))
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


EXAMPLES = Path(__file__).parents[2] / "docs" / "examples" / "purchasing"


@pytest.mark.parametrize("name", ["stock", "suppliers", "outlook"])
def test_the_schema_accepts_the_example_and_refuses_an_unknown_key(run: Run, name: str) -> None:
    schema = run("schema", name).answer
    data = read_yaml(EXAMPLES / f"{name}.yaml").data

    assert data["invented"] is True
    jsonschema.validate(data, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**data, "colour": "red"}, schema)


def test_the_examples_of_purchasing(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """Balls of one kind in both cases that have balls: the first takes another plan and a part is not bought."""
    monkeypatch.setattr(catalogue.load, "STARTER", Path(catalogue.load.__file__).parent / "starter")
    names = ("lower-three-supports", "hinge-against-resilience", "two-angled-segments")
    cases = [EXAMPLES.parent / f"{name}.yaml" for name in names]
    files = ("--suppliers", EXAMPLES / "suppliers.yaml", "--stock", EXAMPLES / "stock.yaml", "--on", "2030-01-01")
    plain, joint = (run("order", *cases, *files, *more, "--json").answer for more in ((), ("--joint",)))

    assert {"ball-ring-2.2"} == {line["part"] for line in plain["lines"]} - {line["part"] for line in joint["lines"]}
    assert joint["total"]["high"] < plain["total"]["high"]
    assert [True, False, False] == [case["plan"] > 0 for case in joint["cases"]]


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
