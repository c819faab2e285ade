"""A run that ends before its time, as a process of its own: killed, told to stop, or out of disk.

A pipe stands among the cases. The run waits at it until somebody writes, so that it can be met at a known place,
however fast or slow the machine is.
"""

from __future__ import annotations

import json
import os
import signal
from dataclasses import asdict
from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from cli.batch.files import case_files, task_of
from cli.batch.journal import journal_of
from cli.batch.store import write
from cli.batch.worker import Setting, plan_row
from cli.exit import BAD_INPUT, FITS, INTERRUPTED
from solver.choose.search import Options
from tests.cli.batch.conftest import ROOT, wait_for, write_cases
from tests.cli.batch.started import Batch
from tests.cli.ran import CASE

CASES, PIPE = 24, 18


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    """Cases that fit, of which one is a pipe."""
    folder = tmp_path / "cases"
    for path in write_cases(folder, CASES):
        path.write_text(CASE.replace("case: test", f"case: {path.stem}"))
    pipe(folder).unlink()
    os.mkfifo(pipe(folder))
    return folder


def pipe(folder: Path) -> Path:
    return folder / f"case-{PIPE}.yaml"


def booked(batch: Batch) -> list[str]:
    """The case of every whole line of the journal."""
    lines = journal_of(batch.results).read_bytes().splitlines(keepends=True)
    return [Path(json.loads(line)["row"]["file"]).stem for line in lines if line.endswith(b"\n")]


def undisturbed(folder: Path) -> bytes:
    """The results as planned in this process, one case after the other, with the catalogue that the command has."""
    starter = load_catalogue(sorted((ROOT / "catalogue" / "starter").glob("*.yaml")), starter=False)
    setting, path = Setting(starter, Options()), folder.with_name("undisturbed.csv")
    write(path, (asdict(plan_row(task_of(file), setting)) for file in case_files([str(folder)])))
    return path.read_bytes()


def test_a_run_killed_on_the_way_goes_on_with_nothing_lost_and_nothing_twice(cases: Path) -> None:
    killed = Batch(cases)
    ours = killed.at(pipe(cases))
    killed.process.kill()
    killed.process.communicate()
    os.close(ours)
    wait_for(lambda: not _alive(killed.process.pid))  # its workers end too
    before = booked(killed)
    assert 0 < len(before) < PIPE
    assert not killed.results.exists()

    pipe(cases).unlink()
    pipe(cases).write_text(CASE.replace("case: test", f"case: {pipe(cases).stem}"))
    code, answer = Batch(cases).ended()

    assert (FITS, CASES - len(before), len(before)) == (code, answer["planned"], answer["kept"])
    assert [f"case-{number:02}" for number in range(CASES)] == sorted(booked(killed))
    assert undisturbed(cases) == killed.results.read_bytes()


def _alive(group: int) -> bool:
    """True while a process of the group is there; one that has ended and waits to be buried is not."""
    stats = (path.read_text() for path in Path("/proc").glob("[0-9]*/stat") if path.exists())
    fields = (stat.rpartition(") ")[2].split() for stat in stats)
    return any(state != "Z" and int(of) == group for state, _, of, *_ in fields)


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "asked to end"])
def test_a_run_that_is_stopped_books_what_was_begun_and_says_how_to_go_on(cases: Path, number: int) -> None:
    stopped = Batch(cases)
    ours = stopped.at(pipe(cases))
    os.killpg(stopped.process.pid, number) if number == signal.SIGINT else os.kill(stopped.process.pid, number)
    os.write(ours, CASE.replace("case: test", f"case: {pipe(cases).stem}").encode())
    os.close(ours)
    code, answer = stopped.ended()
    before = booked(stopped)

    assert (INTERRUPTED, "interrupted") == (code, answer["kind"])
    assert f"stopped with {len(before)} of {CASES} cases planned" in str(answer["message"])
    assert "the same command goes on from there" in str(answer["message"])
    assert PIPE < len(before) < CASES
    assert not stopped.results.exists()


def test_a_full_disk_leaves_whole_lines_and_the_same_command_goes_on(cases: Path) -> None:
    """The limit on the size of a file makes the system refuse to write on, in the middle of a line."""
    pipe(cases).unlink()
    full = Batch(cases, "prlimit", "--fsize=30000")
    code, answer = full.ended()
    before = booked(full)

    assert (BAD_INPUT, "file") == (code, answer["kind"])
    assert "results.journal.jsonl: cannot be written: file too large" in str(answer["message"])
    assert journal_of(full.results).read_bytes().endswith(b"\n")
    assert 0 < len(before) < CASES - 1
    assert not full.results.exists()

    code, answer = Batch(cases).ended()
    assert (FITS, len(before)) == (code, answer["kept"])
    assert undisturbed(cases) == full.results.read_bytes()
