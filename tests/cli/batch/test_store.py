"""Results in three formats hold the same, and are written whole or not at all."""

from __future__ import annotations

import csv
import json
import sys
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from cli.batch.row import Row
from cli.batch.store import COLUMNS, FORMATS, LISTS, connected, table_of, write
from cli.exit import BAD_INPUT, BadInput
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
