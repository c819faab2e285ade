"""`regrip what-if limits` and `regrip ask` on the screen and for machines, cut short, and out of time."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS, UNDECIDED
from solver.choose.master import Master, Outcome, Solved
from solver.explain.waivers import Footing, Give
from tests.cli.ran import Run, Stage

DATA = Path(__file__).parent / "data" / "give"
ROOT = Path(__file__).parents[2]
CASE = (DATA / "case.yaml").read_text()


@pytest.fixture
def say(stage: Stage) -> Run:
    return stage(
        DATA,
        case=CASE,
        rich=CASE.replace("cap: 45", "cap: 90"),
        unsure=CASE.replace("cap: 45", "cap: 90").replace("level_n: 6", "level_n: 4"),
        weighed=CASE + "severity: {need: 1, budget: 9, 'allowed:cut_bar': 2}\n",
        low=CASE.replace("room_mm: 12", "room_mm: 3").replace("money", "ends:\n  L: {on: i33, length_mm: 8}\nmoney"),
    )


STORIES = {
    "give-relaxed": ("give case.yaml", DOES_NOT_FIT),
    "give-weighed": ("give weighed.yaml", DOES_NOT_FIT),
    "give-cheaper": ("give rich.yaml", FITS),
    "give-fixed": ("give low.yaml", DOES_NOT_FIT),
    "ask-saves": ("ask unsure.yaml", FITS),
    "ask-nothing": ("ask low.yaml", DOES_NOT_FIT),
}


@pytest.mark.parametrize(("name", "command", "code"), [(n, *story) for n, story in STORIES.items()], ids=STORIES)
def test_a_story_reads_as_it_should(name: str, command: str, code: int, say: Run) -> None:
    assert (code, (DATA / f"{name}.txt").read_text(), "") == say(*command.split(" "))


def test_a_clash_for_machines(say: Run) -> None:
    _, out, _ = say("give", "case.yaml", "--json")

    answer = json.loads(out)
    assert ("relaxed", "complete", None) == (answer["status"], answer["list"], answer["plan"])
    assert [["budget"], ["allowed:cut_bar"], ["level"], ["need:A:undercut_mm"]] == [
        w["rules"] for w in answer["ways"]
    ]
    assert 1500 == answer["ways"][0]["best"]["relaxations"][0]["amount"]
    assert [6000, 3000, 1500, 2000] == [way["best"]["cost"]["high"] for way in answer["ways"]]
    assert ["case.yaml:9"] == answer["clash"]["reasons"][0]["places"]
    assert answer["clash"]["proved_smallest"]


def test_questions_for_machines(say: Run) -> None:
    _, out, _ = say("ask", "unsure.yaml", "--json")

    answer = json.loads(out)
    assert [(0, 6000), (1, 1500)] == [(plan["answers"], plan["cost"]["high"]) for plan in answer["curve"]]
    (asked,) = answer["ask"]
    assert (["segments.A.width_mm"], "width_mm", 0.75, 4500) == (
        asked["at"], asked["of"], asked["chance"], asked["costs_more"],
    )  # fmt: skip
    replies = [
        (asked[name]["answer"], asked[name]["from"], asked[name]["to"], asked[name]["to_included"])
        for name in ("well", "badly")
    ]
    assert [(1.825, 1.75, None, None), (1.725, None, 1.75, False)] == replies
    assert [1500, 6000] == [asked[name]["plan"]["cost"]["high"] for name in ("well", "badly")]
    assert asked["well"]["certain"] == asked["well"]["plan"]


def test_an_interrupted_search_tells_what_it_found(say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on Ctrl-C once the first way stands; the exit code is that of the case."""
    whole = Give.steps

    def cut_short(self: Give) -> Iterator[str]:
        for step in whole(self):
            yield step
            if self.ways:
                raise KeyboardInterrupt

    monkeypatch.setattr(Give, "steps", cut_short)

    code, out, err = say("give", "case.yaml")

    assert (DOES_NOT_FIT, "") == (code, err)
    assert " - raise the cap by 15.00 EUR\n" in out
    assert out.endswith("\n Stopped, there may be more.\n Why nothing fits was not worked out to the end.\n")


def test_an_interrupt_before_anything_is_known_is_undecided(say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> Solved:
        raise KeyboardInterrupt

    monkeypatch.setattr(Master, "solve", stopped)

    assert (UNDECIDED, "Worn bar: undecided, stopped before anything was known\n", "") == say("give", "case.yaml")


def test_an_interrupt_before_the_first_way_says_that_there_is_none_yet(
    say: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = Give.steps

    def cut_short(self: Give) -> Iterator[str]:
        for step in whole(self):
            yield step
            if self.footing is Footing.GIVES:
                raise KeyboardInterrupt

    monkeypatch.setattr(Give, "steps", cut_short)

    assert (
        DOES_NOT_FIT,
        "Worn bar: fits only if something is given up\n"
        "\nWhat would have to give\n"
        "\n Stopped, none was found so far.\n Why nothing fits was not worked out to the end.\n",
        "",
    ) == say("give", "case.yaml")


WAITING = """
import signal, sys, time
import catalogue.load
from pathlib import Path
from solver.explain.waivers import Footing, Give
from cli.main import main

signal.signal(signal.SIGINT, signal.default_int_handler)  # it may have been inherited as ignored
catalogue.load.STARTER = Path(sys.argv[1])
whole = Give.steps

def steps(self):
    for step in whole(self):
        yield step
        if self.ways:
            print("one is found", file=sys.stderr, flush=True)
            while True:
                time.sleep(0.01)

Give.steps = steps
main(["give", "case.yaml", *sys.argv[2:]])
"""


@pytest.mark.parametrize("arguments", [(), ("--json",)], ids=["text", "json"])
def test_ctrl_c_prints_what_there_is_and_says_that_it_is_not_whole(arguments: tuple[str, ...], say: Run) -> None:
    """The signal itself, to a process that searches until it comes."""
    command = [sys.executable, "-c", WAITING, str(DATA / "catalogue"), *arguments]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment
    ) as process:
        assert process.stderr is not None
        assert "one is found\n" == process.stderr.readline()
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)

    assert (DOES_NOT_FIT, "") == (process.returncode, err)
    if arguments:
        answer = json.loads(out)
        assert ("relaxed", "stopped", None) == (answer["status"], answer["list"], answer["clash"])
        assert [["budget"]] == [way["rules"] for way in answer["ways"]]
    else:
        assert " - raise the cap by 15.00 EUR" in out
        assert out.endswith(" Stopped, there may be more.\n Why nothing fits was not worked out to the end.\n")


@pytest.mark.parametrize(
    ("command", "said"),
    [("give", "Worn bar: undecided in the time given\n"), ("ask", "Worn bar: undecided in the time given\n")],
    ids=["give", "ask"],
)
def test_no_time_is_no_verdict(command: str, said: str, say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was not decided is never said to be impossible."""
    monkeypatch.setattr(Master, "solve", lambda *_: Solved(Outcome.UNDECIDED))

    assert (UNDECIDED, said, "") == say(command, "case.yaml")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("{budget: 0}", "severity.budget"),
        ("{budget: 101}", "severity.budget"),
        ("{budget: 1.5}", "severity.budget"),
        ("{budgt: 1}", "budgt"),
    ],
    ids=["zero", "too much", "no whole number", "no such rule"],
)
def test_a_weight_that_cannot_be_is_refused(given: str, said: str, say: Run) -> None:
    Path("case.yaml").write_text(CASE + f"severity: {given}\n")

    code, out, err = say("give", "case.yaml")

    assert (BAD_INPUT, "\n") == (code, out)
    assert err.startswith("case.yaml:14:")
    assert said in err


def test_a_bound_below_one_is_refused(say: Run) -> None:
    assert BAD_INPUT == say("give", "case.yaml", "--most", "0")[0]
