"""One boundary: every failure has its exit code and its words, as text on stderr or as JSON on stdout."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any, NoReturn

import click
import pytest

import cli.commands.check
import cli.commands.plan
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FAULT, FITS, INTERRUPTED, UNDECIDED
from cli.main import COMMANDS
from solver.choose.master import Master, Outcome, Solved
from solver.choose.shortcut import Straight
from solver.errors import InternalFault
from tests.cli.ran import CASE, Run

TELL = "this is a fault of regrip, not of the case; REGRIP_TRACEBACK=1 shows where"


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CASE)
    return "case.yaml"


def raising(error: BaseException) -> Any:
    def raises(*_: object, **__: object) -> NoReturn:
        raise error

    return raises


def test_what_fits_is_0(run: Run, case: str) -> None:
    ran = run("check", case, "--put", "L=ball-ring")

    assert (FITS, "") == (ran.code, ran.err)
    assert "FITS" == ran.out.splitlines()[1].split()[0]


def test_what_does_not_fit_is_1_and_explained(run: Run, case: str) -> None:
    Path(case).write_text(CASE.replace("ball_mm: 2.2", "ball_mm: 2.5"))

    ran = run("check", case, "--put", "L=ball-ring", "--json")

    assert DOES_NOT_FIT == ran.code
    assert [("L", "ball-ring", "ball_mm")] == [(r["site"], r["attachment"], r["need"]) for r in ran.answer["refused"]]


def test_undecided_is_3_and_is_not_called_impossible(run: Run, case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole of `plan` on a search that had no time."""
    monkeypatch.setattr(Master, "solve", lambda *_: Solved(Outcome.UNDECIDED))
    monkeypatch.setattr(
        "solver.choose.search.go_straight", lambda *given: Straight(False, None, tuple(given[2]), 0, 0)
    )

    ran = run("plan", case)

    assert (UNDECIDED, "") == (ran.code, ran.err)
    assert ran.out.splitlines()[1].startswith("UNDECIDED in the time given")
    assert "NOT FIT" not in ran.out


FAULTS = {
    "fault of the program": (
        InternalFault("a sum is off"), FAULT, "internal",
        f"internal fault, no answer is given: a sum is off; {TELL}"),
    "anything unexpected": (
        ZeroDivisionError("by nothing"), FAULT, "internal",
        f"internal fault, no answer is given: ZeroDivisionError: by nothing; {TELL}"),
    "Ctrl-C": (KeyboardInterrupt(), INTERRUPTED, "interrupted", "stopped"),
    "Ctrl-C at a prompt": (click.Abort(), INTERRUPTED, "interrupted", "stopped"),
    "a file that goes away": (
        FileNotFoundError(2, "No such file or directory", "x.yaml"), BAD_INPUT, "file",
        "x.yaml: no such file or directory"),
    "a full disk": (OSError(28, "No space left on device"), BAD_INPUT, "file", "no space left on device"),
}  # fmt: skip


@pytest.mark.parametrize(("error", "code", "kind", "message"), FAULTS.values(), ids=FAULTS)
def test_a_failure_inside_a_command(
    run: Run, case: str, monkeypatch: pytest.MonkeyPatch, error: BaseException, code: int, kind: str, message: str
) -> None:
    monkeypatch.setattr(cli.commands.check, "checked", raising(error))

    text = run("check", case, "--put", "L=ball-ring")
    machine = run("check", case, "--put", "L=ball-ring", "--json")

    # Ctrl-C leaves the cursor in the middle of a line, so a line break goes before.
    assert (code, "", f"regrip: {message}\n") == (text.code, text.out, text.err.lstrip("\n"))
    assert (code, "") == (machine.code, machine.err.lstrip("\n"))
    assert {"status": "error", "kind": kind, "message": message, "exit": code} == machine.content


@pytest.mark.parametrize("error", [InternalFault("x"), ZeroDivisionError("x")], ids=["fault", "unexpected"])
def test_a_developer_can_see_the_traceback(
    run: Run, case: str, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    monkeypatch.setattr(cli.commands.check, "checked", raising(error))
    monkeypatch.setenv("REGRIP_TRACEBACK", "1")

    with pytest.raises(type(error)):
        run("check", case, "--put", "L=ball-ring")


USAGE = {
    "no such command": (
        ["plna"], "regrip: there is no command 'plna'; did you mean `plan`?\n"),
    "a command unlike any": (
        ["zzz"],
        f"regrip: there is no command 'zzz'; known: {', '.join(COMMANDS)}\n"),
    "no mix": (
        ["check", "case.yaml"],
        "regrip: no mix to check; add `mix:` to the case or give `--put SITE=ATTACHMENT`\n"),
    "a put without a site": (
        ["check", "case.yaml", "--put", "ball-ring"],
        "regrip: 'ball-ring' names no site; write `--put SITE=ATTACHMENT`, e.g. `--put A=clip-round-metal-5x2`\n"),
    "no such option": (
        ["plan", "case.yaml", "--jsn"],
        "regrip: No such option '--jsn'. Did you mean '--json'?\nUsage: regrip plan [OPTIONS] CASE\n"),
    "no case": (
        ["plan"], "regrip: Missing argument 'CASE'.\nUsage: regrip plan [OPTIONS] CASE\n"),
}  # fmt: skip


@pytest.mark.parametrize(("arguments", "message"), USAGE.values(), ids=USAGE)
def test_wrong_usage_is_2(run: Run, case: str, arguments: list[str], message: str) -> None:
    assert (BAD_INPUT, "", message) == run(*arguments)


def test_wrong_usage_is_json_too(run: Run, case: str) -> None:
    ran = run("plan", "--json")

    assert (BAD_INPUT, "") == (ran.code, ran.err)
    expected = {"status": "error", "kind": "usage", "message": "Missing argument 'CASE'.", "exit": 2}
    assert expected == ran.content


def test_a_mistake_in_a_file_is_json_with_its_place(run: Run, case: str) -> None:
    Path(case).write_text(CASE.replace("arch: lower", "arch: lowr"))

    ran = run("plan", case, "--json")

    problem, advice = "'lowr' is not one of lower, upper", "did you mean `lower`?"
    mistake = {"file": case, "line": 2, "column": 7, "where": "arch", "problem": problem, "advice": advice}
    assert (BAD_INPUT, "") == (ran.code, ran.err)
    assert {
        "status": "error",
        "kind": "input",
        "message": f"case.yaml:2:7: arch: {problem}; {advice}",
        "exit": BAD_INPUT,
        "mistakes": [mistake],
    } == ran.content


@pytest.mark.skipif(not hasattr(signal, "SIGPIPE"), reason="no such signal on this system")
@pytest.mark.parametrize("arguments", [["schema", "case"], ["catalogue", "list"], ["--help"]], ids=" ".join)
def test_a_reader_that_goes_away_ends_it_quietly(arguments: list[str]) -> None:
    """As `head` does when it has seen enough; an exit code of 1 would say that something does not fit."""
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "cli.main", *arguments]
    with os.fdopen(writer, "w") as pipe:
        done = subprocess.run(command, stdout=pipe, stderr=subprocess.PIPE, check=False, text=True)

    assert (-signal.SIGPIPE, "") == (done.returncode, done.stderr)


def spoken(*arguments: str, encoding: str, given: bytes = b"") -> tuple[int, bytes, bytes]:
    """Exit code and streams of a process whose streams are in this encoding."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "COLUMNS": "100"}
    command = [sys.executable, "-m", "cli.main", *arguments]
    ran = subprocess.run(command, input=given, capture_output=True, check=False, env=environment, cwd=Path.cwd())
    return ran.returncode, ran.stdout, ran.stderr


WORLDLY = CASE.replace("case: test", "case: Gr\u00f6\u00dfe \u4e0a\u988c \U0001f9b7")


def test_a_character_that_the_output_lacks_is_replaced(case: str) -> None:
    Path(case).write_text(WORLDLY, encoding="utf-8")
    arguments = ("plan", "case.yaml", "--full", "--no-sensitivity")
    code, plain, _ = spoken(*arguments, encoding="utf-8")

    for encoding in ("ascii", "latin-1", "cp437"):
        found, out, err = spoken(*arguments, encoding=encoding)
        said, whole = out.decode(encoding).splitlines(), plain.decode().splitlines()
        assert (code, b"", len(whole)) == (found, err, len(said))
        assert said[0].startswith("Gr??e ?? ?: " if encoding == "ascii" else "Gr\u00f6\u00dfe ?? ?: ")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_in_json_it_is_escaped_and_reads_back(case: str, encoding: str) -> None:
    name = "Gr\u00f6\u00dfe \u4e0a\u988c \U0001f9b7.yaml"

    code, out, err = spoken("plan", name, "--json", encoding=encoding)

    assert (BAD_INPUT, b"") == (code, err)
    told = out.decode("utf-8" if encoding == "ascii" else encoding)  # in ASCII click writes UTF-8 all the same
    assert name == json.loads(told)["mistakes"][0]["file"]


def test_a_failure_is_told_in_any_encoding(case: str) -> None:
    """In ASCII click writes UTF-8 all the same."""
    said = "Gr\u00f6\u00dfe ??.yaml:1:1: cannot be read: no such file or directory\n"
    for encoding in ("latin-1", "cp437"):
        code, out, err = spoken("plan", "Gr\u00f6\u00dfe \u4e0a\u988c.yaml", encoding=encoding)
        assert (BAD_INPUT, b"", said) == (code, out, err.decode(encoding))
    assert BAD_INPUT == spoken("plan", "Gr\u00f6\u00dfe.yaml", encoding="ascii")[0]


def test_input_that_is_not_in_its_encoding_is_told_so(case: str) -> None:
    code, out, err = spoken("new", "new.yaml", encoding="utf-8", given=b"Gr\xf6\xdfe\nlower\n")

    assert (BAD_INPUT, b"") == (code, out)
    assert err.endswith(b"regrip: the input is not utf-8 text; give it in that encoding\n")
    assert not Path("new.yaml").exists()
