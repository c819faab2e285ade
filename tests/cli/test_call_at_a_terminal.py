"""`regrip new` as a conversation, through a pseudo-terminal and with the starter catalogue."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Mapping
from pathlib import Path

import pytest

from catalogue.yaml_text import read_yaml
from cli.exit import FITS, INTERRUPTED
from solver.case.reading import read_case
from tests.cli.person import Person

LOWER_TWO = {
    "Which jaw": "lower", "Where are": "43 33", "left of the bar": "all", "run on": "no",
    "hour at the bench": "50", "hour at the chair": "120", "section has": "round", "ow wide is": "1,8 mm",
    "undercut": "0.4", "gap": "2", "space is": "14 mm", "top of": "5",
}  # fmt: skip
MINUTES_S = 180
"""A walk from five facts to a printed summary (issue 21)."""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def answer(person: Person, knows: Mapping[str, str]) -> list[str]:
    """Answer all that is asked from now on; the questions that were asked."""
    asked: list[str] = []
    while question := person.asks():
        if "Fits: about" in person.read and person.planned_after is None:
            person.planned_after = len(asked)
        asked.append(question)
        person.types(next((said for about, said in knows.items() if about in question), ""))
    return asked


def test_two_implants_from_the_first_fact_to_the_printed_plan() -> None:
    start = time.monotonic()
    with Person("new", "case.yaml", columns=80) as person:
        asked = answer(person, LOWER_TWO)

        assert FITS == person.leaves()
        said = " ".join(person.read.split())
    assert MINUTES_S > time.monotonic() - start
    assert person.planned_after is not None
    assert 15 >= person.planned_after
    assert re.search(r"Too little known, six answers needed first: between \d+ and \d+ EUR\.", said)
    assert "So far: polymer clip on a round bar, 5 mm, in a metal housing (bar 43-33)." in said
    assert "Lower bar on two implants (43, 33)" in said
    assert "The licensed clinician decides." in said
    assert f"regrip: wrote case.yaml; {len(asked)} answers; what was not told is not known" in said
    case = read_case(read_yaml("case.yaml"))
    assert (1.8, 0.4, 2, 14, 5) == (
        case.segments["A"].width_mm.value,
        case.segments["A"].undercut_mm.value,
        case.segments["A"].gap_mm.value,
        case.room.space_mm.value,
        case.room.top_mm.value,
    )
    assert ["case.yaml"] == os.listdir()


def test_back_a_bad_unit_skip_and_stop() -> None:
    with Person("new", "case.yaml", columns=50) as person:
        for said in ("upper", "14 12 22 24"):
            person.asks()
            person.types(said)
        person.asks()
        person.types("back")
        assert "Where are the implants?" in person.asks()
        person.types("13 23")
        assert "13-23" in person.asks()
        person.types("none")
        assert "hour at the bench" in person.asks()
        person.types("1/8 in")
        person.reads("expected a number")
        assert "hour at the bench" in person.asks()
        person.types("skip")
        assert "hour at the chair" in person.asks()
        person.types("120 EUR")
        assert "make and size of implants 13 and 23" in person.asks()
        person.types("stop")
        person.reads("regrip: wrote case.yaml; 4 answers")
        person.leaves()
    data = read_yaml("case.yaml").data
    assert {"i13": {"tooth": 13}, "i23": {"tooth": 23}} == data["supports"]
    assert {"case", "arch", "supports", "money"} == set(data)
    assert 120 == data["money"]["chair_per_hour"]


def test_inches_are_refused_with_the_millimetres() -> None:
    with Person("new", "case.yaml", columns=80) as person:
        while "space is" not in (question := person.asks()):
            person.types(next((said for about, said in LOWER_TWO.items() if about in question), "skip"))
        person.types("1/2 in")
        person.reads("'1/2 in' is in inches, and all here is in mm; it is 12.7 mm: write `12.7`")
        assert "space is" in person.asks()
        person.types("12,7 mm")
        person.asks()
        person.types("stop")
        assert FITS == person.leaves()
    assert 12.7 == read_yaml("case.yaml").data["room"]["space_mm"]


@pytest.mark.parametrize("questions", [1, 5], ids=["at once", "when something was said"])
def test_ctrl_c_leaves_no_file_and_keeps_the_one_that_was_there(questions: int) -> None:
    Path("other.yaml").write_text("mine")
    with Person("new", "other.yaml", "--force") as person:
        for _ in range(questions):
            question = person.asks()
            if _ < questions - 1:
                person.types(next(said for about, said in LOWER_TWO.items() if about in question))
        person.presses_ctrl_c()
        person.reads("regrip: stopped")

        assert INTERRUPTED == person.leaves()
    assert ["other.yaml"] == os.listdir()
    assert "mine" == Path("other.yaml").read_text()
