"""Results in three formats hold the same, and are written whole or not at all."""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterator
from contextlib import nullcontext
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

import cli.files.desk
from cli.batch.row import Row
from cli.batch.store import COLUMNS, FORMATS, LISTS, connected, table_of, write
from cli.exit import BAD_INPUT, FITS, BadInput
from tests.cli.batch.made_rows import DICTS
from tests.cli.ran import Run


@pytest.fixture(params=FORMATS)
def path(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A name for results, with a quote in it."""
    if request.param == "parquet":
        pytest.importorskip("duckdb", reason="the extra `batch`")
    return tmp_path / f"lab's results.{request.param}"


def test_the_columns_are_the_fields_of_a_row() -> None:
    assert [field.name for field in fields(Row)] == list(COLUMNS)


def test_what_is_written_is_read_again(path: Path) -> None:
    pytest.importorskip("duckdb", reason="the extra `batch`")
    write(path, DICTS)
    with connected() as database:
        table_of(database, path)
        found = database.execute("SELECT * FROM results").fetchall()

    as_read = json.loads(json.dumps(DICTS))  # tuples become lists
    assert as_read == [dict(zip(COLUMNS, row, strict=True)) for row in found]


def test_the_same_rows_give_the_same_bytes(path: Path) -> None:
    write(path, DICTS)
    first = path.read_bytes()
    write(path, iter(DICTS))

    assert first == path.read_bytes()
    assert [path] == list(path.parent.iterdir())


def test_a_write_that_fails_leaves_the_old_results_and_nothing_else(path: Path) -> None:
    def breaks() -> Iterator[dict[str, Any]]:
        yield DICTS[0]
        raise OSError(28, "No space left on device")

    write(path, DICTS)
    before = path.read_bytes()
    with pytest.raises(OSError, match="No space left"):
        write(path, breaks())

    assert before == path.read_bytes()
    assert [path] == list(path.parent.iterdir())


def test_a_csv_is_read_by_the_standard_library(tmp_path: Path) -> None:
    write(tmp_path / "r.csv", DICTS)
    with (tmp_path / "r.csv").open(newline="", encoding="utf-8") as file:
        read = list(csv.DictReader(file))

    assert [row["case"] or "" for row in DICTS] == [row["case"] for row in read]
    for name in LISTS:
        assert [json.loads(json.dumps(row[name])) for row in DICTS] == [json.loads(row[name]) for row in read]


def test_parquet_without_duckdb_is_refused_before_anything_is_planned(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "duckdb", None)
    ran = run("batch", folder, "-o", folder.with_name("r.parquet"))

    told = "regrip: this needs DuckDB; install it with `pip install 'regrip[batch]'`\n"
    assert (BAD_INPUT, told) == (ran.code, ran.err)
    assert [folder] == list(folder.parent.iterdir())


@pytest.mark.parametrize("name", ["a*", "a?", "a[b]", "**", "[a-b]b", "{ab,ac}"])
@pytest.mark.parametrize("suffix", FORMATS)
def test_a_name_is_no_pattern(tmp_path: Path, name: str, suffix: str) -> None:
    """A star in the name of a file, or of its folder, is a star."""
    pytest.importorskip("duckdb", reason="the extra `batch`")
    folder = tmp_path / "of [1] * ?"
    folder.mkdir()
    write(folder / f"{name}.{suffix}", DICTS[:1])
    write(folder / f"ab.{suffix}", DICTS[1:3])
    with connected() as database:
        table_of(database, folder / f"{name}.{suffix}")
        found = database.execute("SELECT file FROM results").fetchall()

    assert [("a.yaml",)] == found


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full")
@pytest.mark.parametrize("suffix", FORMATS)
def test_a_full_disk_is_told_in_the_words_of_the_system(tmp_path: Path, suffix: str) -> None:
    """DuckDB has its own kind of error for it."""
    pytest.importorskip("duckdb", reason="the extra `batch`")
    full = tmp_path / f"full.{suffix}"
    full.symlink_to("/dev/full")

    with pytest.raises(OSError, match=r"cannot be written: [Nn]o space left on device"):
        write_into(full, DICTS)
    assert [full] == list(tmp_path.iterdir())


def write_into(path: Path, rows: list[dict[str, Any]]) -> None:
    """As `write`, but into the file itself."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cli.files.desk, "part_of", lambda path, _mode: nullcontext(path))
        patch.setattr(Path, "resolve", lambda self: self)
        write(path, rows)


def spoilt(**change: Any) -> list[dict[str, Any]]:
    """The rows with one of them changed, which has a plan, something given up, ruled out and asked."""
    row = DICTS[0] | {"given_up": DICTS[3]["given_up"], "questions": DICTS[1]["questions"]}
    return [DICTS[0], row | change]


NULL = {
    "file": ({"file": None}, "file"),
    "outcome": ({"outcome": None}, "outcome"),
    "exit": ({"exit": None}, "exit"),
    "catalogue": ({"catalogue": None}, "catalogue"),
    "mix": ({"mix": None}, "mix"),
    "an attachment": ({"mix": [{"site": "A", "attachment": None, "count": 1, "reworks": []}]}, "mix"),
    "a count": ({"mix": [{"site": "A", "attachment": "clip", "count": None, "reworks": []}]}, "mix"),
    "reworks": ({"mix": [{"site": "A", "attachment": "clip", "count": 1, "reworks": None}]}, "mix"),
    "a rework": ({"mix": [{"site": "A", "attachment": "clip", "count": 1, "reworks": [None]}]}, "mix"),
    "a fitted part": ({"mix": [None]}, "mix"),
    "low end": ({"cost_low": None}, "cost_low"),
    "currency": ({"currency": None}, "currency"),
    "digits": ({"digits": None}, "digits"),
    "digits beyond all money": ({"digits": 1_000_000_000}, "digits"),
    "given up": ({"given_up": None}, "given_up"),
    "a rule": ({"given_up": [{"rule": None, "site": None, "amount": 0.0, "unit": None}]}, "given_up"),
    "an amount": ({"given_up": [{"rule": "hold", "site": None, "amount": None, "unit": "N"}]}, "given_up"),
    "no number": ({"given_up": [{"rule": "hold", "site": None, "amount": "nan", "unit": "N"}]}, "given_up"),
    "ruled out": ({"ruled_out": [{"attachment": "stud", "reason": None, "sites": 1}]}, "ruled_out"),
    "sites": ({"ruled_out": [{"attachment": "stud", "reason": "alloy", "sites": None}]}, "ruled_out"),
    "asked": ({"questions": [{"at": "A", "of": None}]}, "questions"),
    "where asked": ({"questions": [{"at": None, "of": "ball_mm"}]}, "questions"),
}


@pytest.mark.parametrize(("change", "column"), NULL.values(), ids=NULL)
@pytest.mark.parametrize("suffix", FORMATS)
def test_a_value_that_a_row_cannot_lack_is_missed_by_its_column(
    run: Run, tmp_path: Path, suffix: str, change: dict[str, Any], column: str
) -> None:
    pytest.importorskip("duckdb", reason="the extra `batch`")
    path = tmp_path / f"results.{suffix}"
    write(path, spoilt(**change))

    ran = run("summary", path)

    told = f"regrip: {path} does not hold the results of a batch: `{column}` is missing or wrong in 1 of its 2 rows"
    assert (BAD_INPUT, "", f"{told}; write them again with `regrip batch`\n") == ran


def test_what_a_row_may_lack_is_no_mistake(run: Run, tmp_path: Path) -> None:
    pytest.importorskip("duckdb", reason="the extra `batch`")
    path = tmp_path / "results.parquet"
    write(path, DICTS)

    assert FITS == run("summary", path).code


OTHERS = {
    "csv": b"a,b\n1,2\n",
    "jsonl": b"no json\n",
    "parquet": b"PAR1 no parquet PAR1",
}


@pytest.mark.parametrize(("suffix", "content"), OTHERS.items(), ids=OTHERS)
def test_a_file_of_another_kind_is_refused(tmp_path: Path, suffix: str, content: bytes) -> None:
    pytest.importorskip("duckdb", reason="the extra `batch`")
    path = tmp_path / f"other.{suffix}"
    path.write_bytes(content)
    with connected() as database, pytest.raises(BadInput, match="does not hold the results of a batch"):
        table_of(database, path)
