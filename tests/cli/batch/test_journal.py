"""The journal of a batch: wherever a run died, whole lines stay, and what is gone is planned again."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.batch.journal import opened
from cli.batch.row import Row, Stamp, failed
from cli.batch.worker import Done

STAMP = Stamp("catalogue", "1", "least=now")


def row(file: str, digest: str | None = "d", outcome: str = "bad-file") -> Row:
    return failed(file, digest, STAMP, outcome, ["x"])  # type: ignore[arg-type]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A journal of three rows."""
    path = tmp_path / "j.jsonl"
    with opened(path) as journal:
        journal.add([Done(row("a"), 1.0), Done(row("b"), 1.0)])
        journal.add([Done(row("ü"), 1.0)])
    return path


def held(path: Path) -> list[str]:
    with opened(path) as journal:
        return [file for file in ("a", "b", "ü") if journal.holds(file, "d", STAMP)]


def test_what_was_added_is_held_and_read_in_any_order(path: Path) -> None:
    with opened(path) as journal:
        assert ["ü", "a"] == [row["file"] for row in journal.rows(["ü", "a"])]
    assert ["a", "b", "ü"] == held(path)


def test_a_line_torn_anywhere_is_cut_off_and_the_rest_stays(path: Path) -> None:
    whole = path.read_bytes()
    last = whole.rindex(b"\n", 0, -1) + 1

    for cut in range(last, len(whole)):
        path.write_bytes(whole[:cut])
        assert ["a", "b"] == held(path)
        assert whole[:last] == path.read_bytes()


def test_after_a_torn_line_the_next_row_stands_on_its_own_line(path: Path) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:-9])
    with opened(path) as journal:
        journal.add([Done(row("ü"), 1.0)])

    assert whole == path.read_bytes()


def test_a_spoiled_line_in_the_middle_loses_its_own_row_only(path: Path) -> None:
    first, second, third = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(first + b"\0" * (len(second) - 1) + b"\n" + third)

    assert ["a", "ü"] == held(path)


def test_of_several_rows_of_a_file_the_last_counts(path: Path) -> None:
    with opened(path) as journal:
        journal.add([Done(row("a", "new"), 1.0)])
        assert not journal.holds("a", "d", STAMP)
    with opened(path) as journal:
        assert journal.holds("a", "new", STAMP)
        assert "new" == next(journal.rows(["a"]))["digest"]


OTHERWISE = {
    "case": ("e", STAMP),
    "catalogue": ("d", STAMP._replace(catalogue="other")),
    "version": ("d", STAMP._replace(version="2")),
    "options": ("d", STAMP._replace(asked="least=years")),
}


@pytest.mark.parametrize(("digest", "stamp"), OTHERWISE.values(), ids=OTHERWISE)
def test_nothing_is_held_that_was_made_from_something_else(path: Path, digest: str, stamp: Stamp) -> None:
    with opened(path) as journal:
        assert not journal.holds("a", digest, stamp)


@pytest.mark.parametrize("outcome", ["undecided", "fault"])
def test_what_may_have_hung_on_the_machine_is_not_held(tmp_path: Path, outcome: str) -> None:
    with opened(tmp_path / "j.jsonl") as journal:
        journal.add([Done(row("a", outcome=outcome), 1.0)])
        assert not journal.holds("a", "d", STAMP)
