"""A search that Ctrl-C ends: what was found so far is told, and that it is not the whole."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from cli.exit import INTERRUPTED, UNDECIDED
from solver.explain.comparison import Comparison
from tests.cli.ran import Ran, Run, Stage

DATA = Path(__file__).parent / "data" / "against"
ROOT = Path(__file__).parents[2]
CASE = (DATA / "case.yaml").read_text()

WAITING = """
import importlib, signal, sys, time
import catalogue.load
from pathlib import Path
from cli.main import main

signal.signal(signal.SIGINT, signal.default_int_handler)  # it may have been inherited as ignored
starter, at, number, *arguments = sys.argv[1:]
catalogue.load.STARTER = Path(starter)
*names, name = at.split(".")
owner = importlib.import_module(".".join(names[:3]))
for inner in names[3:]:
    owner = getattr(owner, inner)
whole, calls = getattr(owner, name), []

def waits(*given, **named):
    calls.append(name)
    if len(calls) == int(number):
        print("waiting", file=sys.stderr, flush=True)
        while True:
            time.sleep(0.01)
    return whole(*given, **named)

setattr(owner, name, waits)
main(arguments)
"""
"""The program, with one function of it that waits for the signal when it is called for the n-th time."""


@pytest.fixture
def say(stage: Stage) -> Run:
    return stage(DATA, case=CASE)


def _stopped(at: str, number: int, *arguments: str) -> Ran:
    """What a process says that is told to stop while it is in the n-th call of the function `at`."""
    command = [sys.executable, "-c", WAITING, str(DATA / "catalogue"), at, str(number), *arguments]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path]), "COLUMNS": "80"}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    ) as process:
        assert process.stderr is not None
        assert "waiting\n" == process.stderr.readline()
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    return Ran(process.returncode, out, err)


SITE = "solver.explain.comparison.Comparison.site"


def test_why_shows_the_sites_that_are_done(say: Run) -> None:
    done = say("why", "case.yaml", "A").out.partition("\nSegment A")[2].partition("\nRuled out")[0].split()

    code, out, err = _stopped(SITE, 2, "why", "case.yaml")

    assert (UNDECIDED, "") == (code, err)
    assert "clip-soft" in done
    assert done == out.partition("\nSegment A")[2].partition("\nRuled out")[0].split()
    assert out.endswith(" Stopped before these were compared: B, L, i44, i41, i34.\n")


def test_why_for_machines_lists_what_is_not_compared(say: Run) -> None:
    code, out, err = _stopped(SITE, 2, "why", "case.yaml", "--json")

    answer = json.loads(out)
    assert (UNDECIDED, "") == (code, err)
    assert (["A"], ["B", "L", "i44", "i41", "i34"]) == ([*answer["sites"]], answer["not_compared"])
    assert [] == say("why", "case.yaml", "--json").answer["not_compared"]


def test_why_one_tells_the_needs_without_the_plan(say: Run) -> None:
    needs, _, _ = say("why", "case.yaml", "A", "clip-soft").out.partition("\nAgainst the plan")
    at = "solver.explain.comparison.Comparison.put"

    ran = _stopped(at, 1, "why", "case.yaml", "A", "clip-soft")

    assert (UNDECIDED, "") == (ran.code, ran.err)
    assert f"{needs.strip()} Stopped before it was compared with the plan.".split() == ran.out.split()
    assert _stopped(at, 1, "why", "case.yaml", "A", "clip-soft", "--json").answer["against_plan"] is None


def test_where_nothing_is_known_yet_nothing_is_told(say: Run) -> None:
    assert (INTERRUPTED, "", "\nregrip: stopped\n") == _stopped(
        "solver.explain.comparison.plan", 1, "why", "case.yaml"
    )


def test_nothing_else_is_taken_for_a_stop(say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(Comparison, "site", breaks)

    assert "internal fault, no answer is given: ZeroDivisionError" in say("why", "case.yaml").err
