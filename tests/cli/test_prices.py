"""`regrip catalogue prices`: shown first, written only when wanted, the file of a person kept."""

from __future__ import annotations

import stat
import threading
from pathlib import Path
from typing import Any

import pytest

import catalogue.load
import cli.files.lock
from catalogue.load import load_catalogue
from catalogue.price_list import read_prices
from cli.commands import prices
from cli.exit import BAD_INPUT, FITS, BadInput, guarded
from cli.files import desk as files
from cli.files import repricing
from cli.files.lock import alone
from cli.files.repricing import repriced
from cli.main import regrip
from tests.cli.ran import Run

CSV = "attachment,price,currency,pieces\nclip-spring,21.50,EUR,\nclip-spring,70,EUR,4\n"
PATIENCE_S = 60
OURS = """\
# kept by hand
attachments:
  ball-ring: {price: {low: 15, high: 25}}  # by phone
"""
AFTER = """\
# kept by hand
sources:
  price-list-new-csv: {kind: common-practice, text: price list new.csv}
attachments:
  ball-ring: {price: {low: 15, high: 25}}  # by phone
  clip-spring:
    price: {low: 21.5, high: 21.5, source: price-list-new-csv}
    packs:
      - {pieces: 1}
      - {pieces: 4, price: {low: 70, high: 70, source: price-list-new-csv}}
"""
TABLE = [
    "",
    "Added",
    " - sources.price-list-new-csv",
    "",
    "Changed",
    " entry        figure         before         after     source",
    " clip-spring  price          20 to 30 EUR   21.5 EUR  inv -> price-list-new-csv",
    " clip-spring  packs.4.price  70 to 110 EUR  70 EUR    inv -> price-list-new-csv",
]


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    Path("new.csv").write_text(CSV)
    Path("our.yaml").write_text(OURS)
    return tmp_path


def stripped(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def test_written_when_wanted_with_comments_and_order(run: Run) -> None:
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    assert (FITS, "regrip: wrote our.yaml\n") == (ran.code, ran.err)
    assert TABLE == stripped(ran.out)
    assert AFTER == Path("our.yaml").read_text()
    assert 21.5 == load_catalogue(["our.yaml"]).attachments["clip-spring"].price.high


def test_a_new_file(run: Run) -> None:
    ran = run("catalogue", "prices", "new.csv", "-o", "fresh.yaml", "--yes")

    assert (FITS, "regrip: wrote fresh.yaml\n") == (ran.code, ran.err)
    assert 70 == load_catalogue(["fresh.yaml"]).attachments["clip-spring"].packs[1].price.low  # type: ignore[union-attr]


def test_into_another_file_the_first_stays(run: Run) -> None:
    run("catalogue", "prices", "new.csv", "-c", "our.yaml", "-o", "next.yaml", "--yes")

    assert (OURS, AFTER) == (Path("our.yaml").read_text(), Path("next.yaml").read_text())


@pytest.mark.parametrize("option", [(), ("--dry-run",), ("--json",)], ids=["no terminal", "dry run", "json"])
def test_nothing_is_written_unasked(run: Run, option: tuple[str, ...]) -> None:
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", *option)

    assert (FITS, "regrip: nothing is written; give `--yes` to write it\n") == (ran.code, ran.err)
    assert OURS == Path("our.yaml").read_text()


@pytest.mark.parametrize(
    ("answer", "text"), [("y\n", AFTER), ("n\n", OURS), ("\n", OURS)], ids=["yes", "no", "enter"]
)
def test_at_a_terminal_it_is_asked(monkeypatch: pytest.MonkeyPatch, answer: str, text: str, run: Run) -> None:
    monkeypatch.setattr(prices, "_at_terminal", lambda: True)
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", stdin=answer)

    assert ran.err.startswith("Write this to our.yaml? [y/N]: ")
    assert TABLE == stripped(ran.out)
    assert text == Path("our.yaml").read_text()


def test_as_json(run: Run) -> None:
    answer = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes", "--json").answer

    assert ("written", "our.yaml", ["sources.price-list-new-csv"], []) == (
        answer["status"], answer["file"], answer["added"], answer["gone"],
    )  # fmt: skip
    assert {
        "entry": "attachments.clip-spring",
        "figure": "price",
        "before": {"value": [20.0, 30.0], "source": "inv"},
        "after": {"value": [21.5, 21.5], "source": "price-list-new-csv"},
        "unit": "EUR",
    } == answer["changed"][0]


def test_the_same_list_again_writes_nothing(run: Run) -> None:
    run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    assert (" no figure differs\n", "regrip: every price is as it was; our.yaml is not written\n") == (
        ran.out,
        ran.err,
    )


def test_a_file_changed_in_between_is_left_alone() -> None:
    ready = repriced(Path("new.csv"), ["our.yaml"], None)
    Path("our.yaml").write_text(OURS + "# one more\n")

    with pytest.raises(BadInput, match=r"our\.yaml was changed in the meantime"):
        ready.write()
    assert OURS + "# one more\n" == Path("our.yaml").read_text()


def test_a_file_changed_while_the_list_is_worked_out_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Between reading it and knowing what is new in it."""

    def meanwhile(*given: Any) -> Any:
        Path("our.yaml").write_text(OURS + "# one more\n")
        return read_prices(*given)

    monkeypatch.setattr(repricing, "read_prices", meanwhile)
    ready = repriced(Path("new.csv"), ["our.yaml"], None)

    with pytest.raises(BadInput, match=r"our\.yaml was changed in the meantime"):
        ready.write()
    assert OURS + "# one more\n" == Path("our.yaml").read_text()


def test_a_file_that_came_in_between_is_left_alone() -> None:
    ready = repriced(Path("new.csv"), [], Path("fresh.yaml"))
    Path("fresh.yaml").write_text("{}")

    with pytest.raises(BadInput, match=r"fresh\.yaml was changed in the meantime"):
        ready.write()


def test_of_two_lists_put_in_at_once_none_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second command begins when the first has read the file and is about to write it."""
    Path("rings.csv").write_text("attachment,price,currency\nball-ring,17,EUR\n")
    reads, goes_on, write_whole = threading.Event(), threading.Event(), files.write_whole
    codes: dict[str, int] = {}

    def writes(path: Path, content: str) -> None:
        if threading.current_thread().name == "new":
            reads.set()
            goes_on.wait(PATIENCE_S)
        write_whole(path, content)

    def put_in() -> None:
        name = threading.current_thread().name
        codes[name] = guarded(regrip, ["catalogue", "prices", f"{name}.csv", "-c", "our.yaml", "--yes"])

    monkeypatch.setattr(repricing, "write_whole", writes)
    first, second = (threading.Thread(target=put_in, name=name) for name in ("new", "rings"))
    first.start()
    assert reads.wait(PATIENCE_S)
    second.start()
    second.join(1)
    goes_on.set()
    first.join(PATIENCE_S)
    second.join(PATIENCE_S)

    attachments = load_catalogue(["our.yaml"]).attachments
    assert {"new": FITS, "rings": FITS} == codes
    assert (21.5, 17) == tuple(attachments[name].price.high for name in ("clip-spring", "ball-ring"))
    assert "# kept by hand" in Path("our.yaml").read_text()


def test_a_file_that_another_command_does_not_let_go_is_told(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli.files.lock, "PATIENCE_S", 0.1)
    with alone(Path("our.yaml")):
        ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    told = "regrip: our.yaml is being changed by another command; try again when that has ended\n"
    assert (BAD_INPUT, "", told) == ran
    assert OURS == Path("our.yaml").read_text()


def test_in_a_folder_that_is_not_there_nothing_is_made(run: Run) -> None:
    ran = run("catalogue", "prices", "new.csv", "-o", "gone/our.yaml", "--yes")

    assert (BAD_INPUT, "", "regrip: gone/our.yaml: cannot be written: no such file or directory\n") == ran
    assert not Path("gone").exists()


def test_the_lock_can_be_read_by_whom_the_file_can(run: Run) -> None:
    Path("our.yaml").chmod(0o600)
    run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    assert [0o600] * 2 == [stat.S_IMODE(Path(name).stat().st_mode) for name in ("our.yaml", ".our.yaml.lock")]


def test_a_file_that_cannot_be_written_stays_whole(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "our.yaml")

    monkeypatch.setattr(repricing, "write_whole", full)
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    assert (BAD_INPUT, "regrip: our.yaml: no space left on device\n") == (ran.code, ran.err)
    assert OURS == Path("our.yaml").read_text()


REFUSED = {
    "no file": ((), "regrip: no file is named for the prices; give `-o our.yaml`, or `--catalogue our.yaml`\n"),
    "a file that is there": (
        ("-o", "our.yaml"),
        "regrip: our.yaml exists already; give `--catalogue our.yaml` last to change it, or another name\n",
    ),
    "a missing overlay": (("-c", "gone.yaml"), "gone.yaml:1:1: cannot be read: no such file or directory\n"),
}


@pytest.mark.parametrize(("options", "said"), REFUSED.values(), ids=REFUSED)
def test_refused(run: Run, options: tuple[str, ...], said: str) -> None:
    assert (BAD_INPUT, "", said) == run("catalogue", "prices", "new.csv", *options)


@pytest.mark.parametrize("option", ["-c", "-o"])
def test_the_starter_catalogue_is_never_written(run: Run, monkeypatch: pytest.MonkeyPatch, option: str) -> None:
    Path("starter").mkdir()
    small = Path("starter/small.yaml")
    small.write_text((catalogue.load.STARTER / "small.yaml").read_text())
    monkeypatch.setattr(catalogue.load, "STARTER", Path("starter"))

    ran = run("catalogue", "prices", "new.csv", option, "starter/small.yaml", "--yes")

    said = "regrip: starter/small.yaml is part of the starter catalogue; give `-o our.yaml`, a file of your own\n"
    assert (BAD_INPUT, "", said) == ran


def test_a_bad_row_is_placed_and_nothing_is_written(run: Run) -> None:
    Path("new.csv").write_text("attachment,price,currency\nclip-sprng,1,EUR\n")
    ran = run("catalogue", "prices", "new.csv", "-c", "our.yaml", "--yes")

    said = "new.csv:2:1: attachment: no attachment is called 'clip-sprng'; did you mean `clip-spring`?\n"
    assert (BAD_INPUT, "", said) == ran
    assert OURS == Path("our.yaml").read_text()


def test_the_last_of_several_files_is_changed(run: Run) -> None:
    Path("parts.yaml").write_text("attachments: {clip-spring: {price: {low: 1, high: 2}}}\n")
    run("catalogue", "prices", "new.csv", "-c", "parts.yaml", "-c", "our.yaml", "--yes")

    assert "attachments: {clip-spring: {price: {low: 1, high: 2}}}\n" == Path("parts.yaml").read_text()
    assert AFTER == Path("our.yaml").read_text()
