"""`regrip stock order`: what is bought and who pays. Every figure is invented."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import catalogue.load
import cli.commands.order
from catalogue.yaml_text import parse_yaml, read_yaml
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from solver.buying.order_file import read_order
from tests.cli.orders import CLIPS, STOCK, SUPPLIERS, written
from tests.cli.ran import Run


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


@pytest.fixture
def misfits(tmp_path: Path) -> list[Path]:
    """One that would fit for more money, and one that nothing helps: no clip goes on so thick a bar."""
    poor = CLIPS.replace("{currency", "{cap: 10, currency")
    thick = CLIPS.replace("width_mm: 1.8", "width_mm: 3")
    assert thick != CLIPS
    return [written(tmp_path, "poor.yaml", poor), written(tmp_path, "thick.yaml", thick)]


def test_where_no_case_fits_nothing_is_ordered_and_each_is_told_why(run: Run, misfits: list[Path]) -> None:
    ran = run("order", *misfits, "--json")

    assert DOES_NOT_FIT == ran.code
    assert {"poor": "relaxed", "thick": "none"} == ran.answer["not_ordered"]
    assert [] == ran.answer["lines"] == ran.answer["cases"]
    assert 0 == ran.answer["invoice"]["high"] == ran.answer["total"]["high"] == ran.answer["apart"]["high"]
    (more,) = ran.answer["reasons"]["poor"]
    assert more.startswith("raise the cap by ")
    assert ["nothing that could be given up helps"] == ran.answer["reasons"]["thick"]


def test_the_reasons_stand_in_the_text(run: Run, misfits: list[Path]) -> None:
    ran = run("order", *misfits)
    said = " ".join(ran.out.split())

    assert DOES_NOT_FIT == ran.code
    assert "nothing is ordered, for no case fits as it is" in said
    assert "poor: fits only if something is given up; raise the cap by 43.33 EUR" in said
    assert "thick: does not fit; nothing that could be given up helps" in said
    assert "proved least" not in said


def test_where_none_is_known_to_fit_that_is_not_said(run: Run, cases: list[Path]) -> None:
    ran = run("order", *cases, "--time-limit", "1e-9")
    said = " ".join(ran.out.split())

    assert UNDECIDED == ran.code
    assert "nothing is ordered" in said
    assert "fits as it is" not in said


def test_an_empty_order_is_received_as_nothing(run: Run, misfits: list[Path], tmp_path: Path) -> None:
    order = written(tmp_path, "order.json", run("order", *misfits, "--json").out)
    stock = written(tmp_path, "stock.yaml", STOCK)

    ran = run("order", "--receive", order, "--stock", stock)

    assert FITS == ran.code
    assert "came in: nothing" in ran.out
    assert parse_yaml(STOCK, "").data == read_yaml(stock).data


def test_the_reasons_are_no_part_of_what_the_number_stands_for(run: Run, misfits: list[Path], tmp_path: Path) -> None:
    """An order of before there were reasons is still received."""
    told = run("order", *misfits, "--json").answer
    del told["reasons"]

    assert read_order(parse_yaml(json.dumps(told), "order.json")).order == told["order"]


def test_no_order_in_time_is_undecided(run: Run, cases: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """The search itself is made to end with nothing: how long it takes is no matter of this test."""
    monkeypatch.setattr(cli.commands.order, "order_for", lambda *_, **__: None)
    ran = run("order", *cases, "--json")

    assert (UNDECIDED, "undecided") == (ran.code, ran.answer["status"])


EXAMPLES = Path(__file__).parents[2] / "docs" / "examples" / "purchasing"
VIGNETTES = Path(__file__).parents[1] / "vignettes"


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
    names = ("hinge-against-resilience", "two-angled-segments")
    cases = [VIGNETTES / "02-lower4-balls.yaml", *(EXAMPLES.parent / f"{name}.yaml" for name in names)]
    files = ("--suppliers", EXAMPLES / "suppliers.yaml", "--stock", EXAMPLES / "stock.yaml", "--on", "2030-01-01")
    plain, joint = (run("order", *cases, *files, *more, "--json").answer for more in ((), ("--joint",)))

    assert {"ball-ring-2.2"} == {line["part"] for line in plain["lines"]} - {line["part"] for line in joint["lines"]}
    assert joint["total"]["high"] < plain["total"]["high"]
    assert [True, False, False] == [case["plan"] > 0 for case in joint["cases"]]
