"""A catalogue of the user's own: laid over the starter one without `-c`, said in every answer, refused where bad."""

from __future__ import annotations

import shutil
from pathlib import Path

import click
import pytest

from cli.exit import BAD_INPUT, FITS
from cli.files.own_catalogue import FILE, VARIABLE, usual_place
from tests.cli.ran import CASE, Run

OWN = "attachments: {clip-spring: {price: {low: 1, high: 2, source: inv}}}\n"
DEARER = "attachments: {clip-spring: {price: {low: 71, high: 72, source: inv}}}\n"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CASE)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A configuration folder for the test alone, wherever the platform has it."""
    monkeypatch.delenv(VARIABLE)
    folder = tmp_path / "configuration"
    monkeypatch.setattr(click, "get_app_dir", lambda name: str(folder / name))
    usual_place().parent.mkdir(parents=True)
    return usual_place()


def test_no_file_is_no_own_catalogue(run: Run, home: Path) -> None:
    ran = run("plan", "case.yaml", "--json", "--no-sensitivity")

    assert "" == ran.err
    assert "own_catalogue" not in ran.answer


def test_a_file_in_the_configuration_folder_is_laid_over(run: Run, home: Path) -> None:
    before = run("plan", "case.yaml", "--json", "--no-sensitivity").answer["cost"]["low"]
    home.write_text(OWN)

    ran = run("plan", "case.yaml", "--json", "--no-sensitivity")

    assert f"regrip: {home} is laid over the starter catalogue\n" == ran.err
    assert str(home) == ran.answer["own_catalogue"]
    assert before > ran.answer["cost"]["low"]


def test_the_variable_names_another_file(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home.write_text(DEARER)
    Path("other.yaml").write_text(OWN)
    monkeypatch.setenv(VARIABLE, "other.yaml")

    ran = run("plan", "case.yaml", "--no-sensitivity")

    assert "regrip: other.yaml is laid over the starter catalogue\n" == ran.err


def test_the_variable_set_to_nothing_says_that_there_is_none(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home.write_text("not a catalogue")
    monkeypatch.setenv(VARIABLE, "")

    assert "" == run("plan", "case.yaml", "--json", "--no-sensitivity").err


def test_files_that_are_given_lie_over_it(run: Run, home: Path) -> None:
    home.write_text(DEARER)
    Path("given.yaml").write_text(OWN)

    over = run("plan", "case.yaml", "--json", "--no-sensitivity", "-c", "given.yaml")
    home.unlink()
    alone = run("plan", "case.yaml", "--json", "--no-sensitivity", "-c", "given.yaml")

    assert alone.answer["cost"] == over.answer["cost"]


def test_the_own_file_given_by_name_is_laid_once(run: Run, home: Path) -> None:
    """Laid twice, what it takes out would not be there the second time."""
    home.write_text("attachments: {stud-thread: null}\n")

    ran = run("catalogue", "check", str(home))

    assert FITS == ran.code
    assert f"regrip: {home} is laid over the starter catalogue\n" == ran.err


BAD = {
    "no YAML": ("attachments: [\n", "{home}:2:1: is not YAML"),
    "a slip in a key": ("attachments: {clip-spring: {prise: 3}}\n", "{home}:1:29: attachments.clip-spring.prise:"),
    "an entry that is not there": ("attachments: {nothing: null}\n", "{home}:1:24: attachments.nothing:"),
}


@pytest.mark.parametrize("command", [("plan", "case.yaml"), ("catalogue", "check"), ("new", "new.yaml")])
@pytest.mark.parametrize(("text", "message"), BAD.values(), ids=BAD)
def test_a_bad_file_is_told_with_its_place(
    run: Run, home: Path, command: tuple[str, ...], text: str, message: str
) -> None:
    home.write_text(text)

    ran = run(*command)

    assert (BAD_INPUT, "") == (ran.code, ran.out)
    assert ran.err.splitlines()[1].startswith(message.format(home=home))


def test_one_that_is_named_and_not_there_is_told(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, "nowhere.yaml")

    ran = run("plan", "case.yaml")

    assert BAD_INPUT == ran.code
    assert "nowhere.yaml:1:1: cannot be read: no such file or directory" == ran.err.splitlines()[1]


def test_two_catalogues_are_compared_without_it(run: Run, home: Path) -> None:
    """Else a file of one's own would differ in nothing from the starter catalogue."""
    home.write_text(OWN)
    shutil.copy(home, "ours.yaml")

    ran = run("catalogue", "diff", "starter", "ours.yaml", "--json")

    assert "" == ran.err
    assert "clip-spring" in ran.out


def test_the_report_names_it(run: Run, home: Path) -> None:
    home.write_text(OWN)

    assert FITS == run("report", "case.yaml", "-o", "report.html").code
    assert f"small with {FILE}" in Path("report.html").read_text()
