"""Every answer for machines is as its published schema says, judged by `jsonschema` on every worked example."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import catalogue.load
from cli.json_out.shapes import answer_schema
from solver.case.money import major, minor_digits
from tests.cli.ran import CASE, Run

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "docs" / "examples").glob("*.yaml"))
STARTER = ROOT / "catalogue" / "starter"
OTHERS = {
    "why": ["why", "A", "clip-spring"],
    "why, a site": ["why", "A"],
    "check": ["check", "--put", "A=clip-spring"],
    "limits": ["what-if", "limits"],
    "values": ["what-if", "values", "--set", "money.cap=50"],
    "range": ["what-if", "values", "--set", "segments.A.width_mm=1.6..2/0.2"],
    "trade-off": ["what-if", "trade-off"],
    "trade-off, years": ["what-if", "trade-off", "--between", "cost,years"],
    "ways": ["what-if", "ways"],
    "ask": ["ask"],
    "several plans": ["plan", "--plans", "3"],
    "second opinion": ["plan", "--second-opinion", "--no-sensitivity"],
    "nothing fits": ["plan", "--catalogue", "none.yaml"],
}


@cache
def validator() -> Draft202012Validator:
    schema = answer_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def faults(answer: Any) -> list[str]:
    """What the schema of this kind of answer refuses."""
    kind = answer["answer"]
    definitions = answer_schema()["$defs"]
    kinds = {shape.get("properties", {}).get("answer", {}).get("const"): name for name, shape in definitions.items()}
    one = Draft202012Validator({"$ref": f"#/$defs/{kinds[kind]}", "$defs": definitions})
    assert validator().is_valid(answer) == one.is_valid(answer)
    return [f"{error.json_path}: {error.message[:120]}" for error in one.iter_errors(answer)]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("command", ["plan", "ask", "why"])
def test_every_example_is_answered_by_the_schema(
    command: str, path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(catalogue.load, "STARTER", STARTER)
    more = ["--no-sensitivity"] if command == "plan" else []

    answer = run(command, path, *more, "--json").answer
    assert [] == faults(answer)


@pytest.mark.parametrize(("command", "more"), [(words, ()) for words in OTHERS.values()], ids=OTHERS)
def test_every_other_answer_is_so_too(
    command: list[str], more: tuple[str, ...], run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CASE)
    Path("none.yaml").write_text(
        "attachments: {clip-spring: {needs: [{of: width_mm, at_least: 9, source: own}]}}\n"
        "sources: {own: {kind: invented, text: invented}}\n"
    )
    at = 2 if command[0] == "what-if" else 1
    words = [*command[:at], "case.yaml", *command[at:]]

    assert [] == faults(run(*words, "--json").answer)


def test_a_failure_is_one_too(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE.replace("lower", "lowr"))

    for ran in (
        run("plan", path, "--json"),
        run("plan", "nowhere.yaml", "--json"),
        run("plan", path, "--nix", "--json"),
    ):
        assert [] == faults(ran.answer)


def test_a_key_that_is_not_named_or_missing_is_found(run: Run, tmp_path: Path) -> None:
    """Else the schema would say nothing."""
    path = tmp_path / "case.yaml"
    path.write_text(CASE)
    answer = run("plan", path, "--no-sensitivity", "--json").answer

    assert [] != faults(answer | {"colour": "red"})
    assert [] != faults({key: value for key, value in answer.items() if key != "proof"})
    assert [] != faults(answer | {"hold": answer["hold"] | {"left": "strong"}})


@pytest.mark.parametrize(("currency", "unit"), [("EUR", "0.01 EUR"), ("JPY", "1 JPY"), ("KWD", "0.001 KWD")])
def test_money_says_its_unit(currency: str, unit: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE.replace("currency: EUR", f"currency: {currency}, exchange: 1"))
    answer = run("plan", path, "--no-sensitivity", "--json").answer

    assert {"currency": currency, "digits": minor_digits(currency), "unit": unit} == answer["money"]
    assert unit == f"{major(1, minor_digits(currency))} {currency}"


def test_the_command_prints_it(run: Run) -> None:
    printed = json.loads(run("schema", "answer").out)

    assert answer_schema().items() <= printed.items()
