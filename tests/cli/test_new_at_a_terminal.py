"""`regrip new` at a terminal: a person is asked again, before a file is lost, and may leave at any time."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from catalogue.yaml_text import read_yaml
from cli.exit import FITS, INTERRUPTED
from solver.case.reading import read_case
from tests.cli.person import Person


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_a_person_is_asked_again() -> None:
    with Person("new", "case.yaml", "--defaults") as person:
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("left")
        person.reads("'left' is not one of lower, upper")
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("low")
        person.reads("Where are the implants?")
        person.types("43 33")
        person.reads("hour at the bench")
        person.types("forty")
        person.reads("expected a number, got 'forty'; write a plain decimal number such as 1.8")
        person.types("40")
        person.reads("hour at the chair")
        person.types("100")
        person.reads("regrip: wrote case.yaml")

        assert FITS == person.leaves()
    assert ["case.yaml"] == os.listdir()
    assert 40 == read_case(read_yaml("case.yaml")).money.bench_per_hour


def test_questions_break_between_words_in_a_narrow_window() -> None:
    with Person("new", "case.yaml", "--every", columns=48) as person:
        person.reads("Title of the case [case]: ")
        person.types("")
        person.reads("Which jaw carries the bar? (lower,\r\nupper): ")
        person.types("lower")
        person.reads("What does it bite on? (natural,\r\ndenture, implants) [unknown]: ")
        person.types("teeth")
        person.reads("  'teeth' is not one of natural, denture,\r\n  implants, unknown")
        person.presses_ctrl_c()


def test_an_answer_that_is_left_out_is_asked_for_with_a_hint() -> None:
    with Person("new", "case.yaml", "--defaults") as person:
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("")
        person.reads('an answer is needed; `?` is "don\'t know"')
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("?")
        person.reads("this cannot be left open; a rough answer will do")
        person.presses_ctrl_c()


def test_a_person_is_asked_before_a_file_is_overwritten() -> None:
    Path("case.yaml").write_text("mine")
    with Person("new", "case.yaml") as person:
        person.reads("case.yaml exists already. Overwrite it when all is answered? [y/N]")
        person.types("n")

        assert INTERRUPTED == person.leaves()
    assert "mine" == Path("case.yaml").read_text()


def test_ctrl_c_leaves_nothing_behind() -> None:
    with Person("new", "case.yaml", "--every") as person:
        person.reads("Title of the case [case]: ")
        person.types("")
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.presses_ctrl_c()
        person.reads("regrip: stopped")

        assert INTERRUPTED == person.leaves()
    assert [] == os.listdir()
