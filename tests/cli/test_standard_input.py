"""`-` is the standard input: a case may come through a pipe."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from tests.cli.ran import CASE, Run

COMMANDS = {
    "plan": ["--no-sensitivity"],
    "check": ["--put", "A=clip-spring"],
    "why": ["A"],
    "ask": [],
    "give": [],
}


@pytest.mark.parametrize(("command", "more"), COMMANDS.items(), ids=COMMANDS)
def test_a_case_from_a_pipe_is_answered_as_from_a_file(
    command: str, more: list[str], run: Run, tmp_path: Path
) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)

    of_file, of_pipe = run(command, path, *more), run(command, "-", *more, stdin=CASE)
    assert of_file.out.replace(str(path), "stdin") == of_pipe.out
    assert (of_file.code, "") == (of_pipe.code, of_pipe.err)


def test_a_mistake_in_it_has_its_place(run: Run) -> None:
    ran = run("plan", "-", stdin=CASE.replace("lower", "lowr"))

    assert (BAD_INPUT, "stdin:2:7: arch: 'lowr' is not one of lower, upper; did you mean `lower`?\n") == ran[::2]


def test_nothing_comes_through_it(run: Run) -> None:
    assert (BAD_INPUT, "", "stdin:1:1: is empty, not a case; `regrip new` writes one\n") == run("plan", "-")


def test_a_sheet_is_made_of_it(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.html"
    run("report", "-", "--only", "case", "-o", sheet, stdin=CASE)

    assert "stdin" in sheet.read_text()


def test_an_example_goes_through_a_pipe() -> None:
    regrip = [sys.executable, "-m", "cli.main"]
    root = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    example = subprocess.run([*regrip, "example", "bar-off"], capture_output=True, check=True, env=root)
    ways = ["what-if", "ways", "-", "--json"]
    ran = subprocess.run([*regrip, *ways], input=example.stdout, capture_output=True, check=True, env=root)

    assert 4 == len(json.loads(ran.stdout)["strategies"])
