"""`regrip catalogue`: check, list, show."""

from __future__ import annotations

from pathlib import Path

import pytest

import catalogue.load
from catalogue.find import entry_of, source_keys
from catalogue.load import load_catalogue
from cli.exit import BAD_INPUT, FITS
from cli.terminal.catalogue_figures import NO_SOURCE, attachment_lines, rework_lines
from cli.wording import words
from tests.cli.ran import Run

OVERLAY = """\
sources:
  ours: {kind: memory, text: our own list}
attachments:
  clip-spring: {price: {low: 22, high: 24, source: ours}}
  stud-thread: null
"""


@pytest.fixture
def overlay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.chdir(tmp_path)
    Path("our.yaml").write_text(OVERLAY)
    return "our.yaml"


def stripped(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def test_a_sound_catalogue_says_what_it_holds(run: Run) -> None:
    ran = run("catalogue", "check")

    assert (FITS, "") == (ran.code, ran.err)
    assert [
        "Catalogue small: sound",
        " - 3 attachments: 1 clip, 1 ball, 1 stud",
        " - 2 reworks",
        " - 3 sources: 1 published, 1 common-practice, 1 invented",
        " - prices in EUR",
    ] == stripped(ran.out)


def test_an_overlay_says_what_it_changes(run: Run, overlay: str) -> None:
    ran = run("catalogue", "check", overlay)

    assert [
        "Catalogue small with our.yaml: sound",
        " - 2 attachments: 1 clip, 1 ball",
        " - 2 reworks",
        " - 4 sources: 1 published, 1 common-practice, 1 memory, 1 invented",
        " - prices in EUR",
        "",
        "Changes to the starter catalogue",
        " - adds sources.ours",
        " - changes attachments.clip-spring",
        " - takes out attachments.stud-thread",
    ] == stripped(ran.out)


def test_an_overlay_that_changes_nothing_says_so(run: Run, overlay: str) -> None:
    Path(overlay).write_text("version: small\n")

    assert stripped(run("catalogue", "check", overlay).out)[-1] == " - none: every figure is as it was"


def test_a_source_that_nobody_uses_is_named(run: Run, overlay: str) -> None:
    Path(overlay).write_text("sources: {spare: {kind: memory, text: x}}\n")

    assert " - no figure uses the source `spare`" in stripped(run("catalogue", "check", overlay).out)


def test_check_as_json(run: Run, overlay: str) -> None:
    assert {
        "status": "sound",
        "version": "small",
        "currency": "EUR",
        "attachments": 2,
        "reworks": 2,
        "sources": 4,
        "unused_sources": [],
        "added": ["sources.ours"],
        "changed": ["attachments.clip-spring"],
        "taken_out": ["attachments.stud-thread"],
    } == run("catalogue", "check", overlay, "--json").content


FILTERS = {
    "all": ([], ["clip-spring", "ball-ring", "stud-thread", "cap", "thread"]),
    "kind": (["--kind", "ball"], ["ball-ring"]),
    "reworks": (["--kind", "rework"], ["cap", "thread"]),
    "site": (["--at", "segment"], ["clip-spring", "stud-thread", "thread"]),
    "motion": (["--can-move", "down"], ["clip-spring", "ball-ring"]),
    "every motion asked": (["--can-move", "down", "--can-move", "turn"], ["ball-ring"]),
    "metal, however written": (["--metal", "Gold"], ["clip-spring"]),
    "source": (["--source-kind", "published"], ["clip-spring"]),
    "together": (["--at", "segment", "--can-move", "hinge"], ["clip-spring"]),
    "nothing": (["--kind", "magnet"], []),
}


@pytest.mark.parametrize(("options", "ids"), FILTERS.values(), ids=FILTERS)
def test_list_keeps_what_is_asked_for(run: Run, options: list[str], ids: list[str]) -> None:
    ran = run("catalogue", "list", *options, "--json")

    assert FITS == ran.code
    assert ids == [entry["id"] for entry in ran.answer["entries"]]


def test_list_on_the_screen(run: Run) -> None:
    ran = run("catalogue", "list", "--at", "segment")

    assert [
        " id           kind    at             N       EUR  moves",
        " clip-spring  clip    segment   4 to 8  20 to 30  down, hinge",
        " stud-thread  stud    segment  5 to 12  20 to 30",
        " thread       rework  segment                  0",
    ] == stripped(ran.out)


def test_an_empty_list_is_an_answer(run: Run) -> None:
    assert (FITS, "", "regrip: no entry is like that; leave an option out\n") == run(
        "catalogue", "list", "--kind", "magnet"
    )


@pytest.mark.parametrize("width", ["60", "80", "140"])
def test_an_id_is_never_broken(run: Run, monkeypatch: pytest.MonkeyPatch, width: str) -> None:
    """It is there to be copied."""
    monkeypatch.setenv("COLUMNS", width)

    ran = run("catalogue", "list")

    firsts = [line.split()[0] for line in ran.out.splitlines()[1:] if line.startswith(" ") and line[1] != " "]
    assert ["clip-spring", "ball-ring", "stud-thread", "cap", "thread"] == firsts
    assert max(len(line) for line in ran.out.splitlines()) <= int(width)


def test_show_on_the_screen(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")

    assert (Path(__file__).parent / "data" / "show-clip-spring.txt").read_text().splitlines() == stripped(
        run("catalogue", "show", "clip-spring").out
    )


@pytest.mark.parametrize("name", ["clip-spring", "ball-ring", "stud-thread", "cap", "thread"])
def test_show_tells_every_source_and_how_it_is_known(run: Run, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    whole = load_catalogue()

    ran = run("catalogue", "show", name)

    keys = source_keys(entry_of(whole, name))
    told = stripped(ran.out.partition("Sources\n")[2])
    assert [f" - {key}: {words.source(whole.sources[key])}" for key in keys] == told


def test_every_source_of_an_entry_stands_beside_a_figure(monkeypatch: pytest.MonkeyPatch) -> None:
    """Checked on the starter catalogue as it is, against the keys that the models hold."""
    monkeypatch.undo()
    whole = load_catalogue()
    assert catalogue.load.STARTER.name == "starter"

    for attachment in whole.attachments.values():
        beside = {line.source for line in attachment_lines(attachment, "EUR")}
        assert set(source_keys(attachment)) == beside - {NO_SOURCE}, attachment.id
    for rework in whole.reworks.values():
        assert set(source_keys(rework)) == {line.source for line in rework_lines(rework, "EUR")}, rework.id


def test_show_as_json_writes_the_sources_out(run: Run) -> None:
    answer = run("catalogue", "show", "clip-spring", "--json").answer

    assert {"low": 4.0, "high": 8.0, "source": "inv"} == answer["retention_n"]
    assert ("clip", "EUR") == (answer["kind"], answer["currency"])
    assert {
        "habit": {"kind": "common-practice", "text": "common practice, no source", "known": None},
        "book": {"kind": "published", "text": "A. Nobody. No book, 1900.", "known": "made up for a test"},
        "inv": {"kind": "invented", "text": "invented for a test", "known": None},
    } == answer["sources"]


def test_show_with_an_overlay(run: Run, overlay: str) -> None:
    answer = run("catalogue", "show", "clip-spring", "--catalogue", overlay, "--json").answer

    assert {"low": 22.0, "high": 24.0, "source": "ours"} == answer["price"]
    assert {"low": 4.0, "high": 8.0, "source": "inv"} == answer["retention_n"]


@pytest.mark.parametrize(
    ("name", "advice"),
    [("clip-sprng", "did you mean `clip-spring`?"), ("zzz", "`regrip catalogue list` names them all")],
    ids=["slip", "unlike any"],
)
def test_an_id_that_is_not_there(run: Run, name: str, advice: str) -> None:
    message = f"regrip: no attachment or rework is called '{name}'; {advice}\n"

    assert (BAD_INPUT, "", message) == run("catalogue", "show", name)
