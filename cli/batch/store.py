"""Results on the disk: the rows of a batch in order of file, as JSON lines, CSV or Parquet, and back as a table.

DuckDB does Parquet and the reading; JSON lines and CSV are written without it. In CSV a list is JSON text.
"""

from __future__ import annotations

import csv
import errno
import json
import os
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cli.exit import BadInput
from cli.files.desk import whole

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

COLUMNS: Mapping[str, str] = {
    "file": "VARCHAR",
    "digest": "VARCHAR",
    "catalogue": "VARCHAR",
    "version": "VARCHAR",
    "asked": "VARCHAR",
    "outcome": "VARCHAR",
    "exit": "INTEGER",
    "case": "VARCHAR",
    "mix": "STRUCT(site VARCHAR, attachment VARCHAR, count INTEGER, reworks VARCHAR[])[]",
    "cost_low": "BIGINT",
    "cost_high": "BIGINT",
    "currency": "VARCHAR",
    "digits": "INTEGER",
    "reach": "DOUBLE",
    "hold_low_n": "DOUBLE",
    "hold_high_n": "DOUBLE",
    "ruled_out": "STRUCT(attachment VARCHAR, reason VARCHAR, sites INTEGER)[]",
    "given_up": "STRUCT(rule VARCHAR, site VARCHAR, amount DOUBLE, unit VARCHAR)[]",
    "questions": 'STRUCT("at" VARCHAR, "of" VARCHAR)[]',
    "errors": "VARCHAR[]",
}
"""The fields of `Row`, by their types in DuckDB."""

LISTS = frozenset(name for name, kind in COLUMNS.items() if kind.endswith("[]"))
ALWAYS = LISTS | {"file", "catalogue", "version", "asked", "outcome", "exit"}
"""Columns that no row lacks."""


def _lacking(name: str, *fields: str, more: str = "false") -> str:
    """In SQL: an entry of a list, or a field of one, is missing."""
    missing = " OR ".join(f'one."{field}" IS NULL' for field in fields)
    return f'len([1 for one in "{name}" if one IS NULL OR {missing} OR {more}]) > 0'


WRONG: Mapping[str, str] = {
    "mix": _lacking(
        "mix", "site", "attachment", "count", "reworks", more="list_count(one.reworks) < len(one.reworks)"
    ),
    "ruled_out": _lacking("ruled_out", "attachment", "reason", "sites"),
    "given_up": _lacking("given_up", "rule", "amount", more="NOT isfinite(one.amount)"),
    "questions": _lacking("questions", "at", "of"),
    "cost_low": "(cost_low IS NULL) <> (cost_high IS NULL)",
    "currency": "currency IS NULL AND cost_high IS NOT NULL",
    "digits": "CASE WHEN digits IS NULL THEN cost_high IS NOT NULL ELSE digits NOT BETWEEN 0 AND 4 END",
}
"""In SQL: what else no row has; costs come in pairs, in a currency."""

FORMATS = ("parquet", "csv", "jsonl")


def format_of(path: Path) -> str:
    """The format that the ending of a name stands for; raises `BadInput`."""
    suffix = path.suffix.removeprefix(".").lower()
    if suffix not in FORMATS:
        raise BadInput(f"'{path}' is no name for results", "name a file that ends in .parquet, .csv or .jsonl")
    return suffix


def write(path: Path, rows: Iterable[Mapping[str, Any]]) -> None:
    """Write rows whole or not at all, in the format of the name; the same rows give the same bytes.

    Raises `BadInput` for a name of another format, `OSError` where it cannot be written.
    """
    writer = {"parquet": _write_parquet, "csv": _write_csv, "jsonl": _write_lines}[format_of(path)]
    with whole(path) as part:
        writer(part, rows)


def _write_lines(path: Path, rows: Iterable[Mapping[str, Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="\n") as file:
        file.writelines(json.dumps(row, ensure_ascii=False, separators=(",", ":")) + "\n" for row in rows)


def _write_csv(path: Path, rows: Iterable[Mapping[str, Any]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows([_cell(name, row[name]) for name in COLUMNS] for row in rows)


def _cell(name: str, value: Any) -> Any:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")) if name in LISTS else value


def _write_parquet(path: Path, rows: Iterable[Mapping[str, Any]]) -> None:
    """By way of JSON lines, so that rows of any number pass through without being held."""
    with tempfile.TemporaryDirectory(dir=path.parent, prefix=f"{path.name}.") as folder:
        lines = Path(folder) / "rows.jsonl"
        _write_lines(lines, rows)
        with connected() as database, _told_as_of_the_system():
            # Small groups, since rows are held until theirs is full.
            how = "FORMAT parquet, COMPRESSION zstd, ROW_GROUP_SIZE 8192"
            database.execute(f"COPY (SELECT * FROM {_source(lines)}) TO {_text(path)} ({how})")


@contextmanager
def _told_as_of_the_system() -> Iterator[None]:
    """What DuckDB cannot write is an error of the system; it gives the words and no number."""
    import duckdb  # noqa: PLC0415

    try:
        yield
    except duckdb.IOException as error:
        said = str(error)
        number = next((n for n in errno.errorcode if os.strerror(n) in said), errno.EIO)
        raise OSError(number, os.strerror(number)) from None


def connected() -> DuckDBPyConnection:
    """A database in memory that fetches nothing from anywhere; raises `BadInput` where DuckDB is not installed."""
    try:
        import duckdb  # noqa: PLC0415 - only with the extra `batch`
    except ImportError:
        raise BadInput("this needs DuckDB", "install it with `pip install 'regrip[batch]'`") from None
    # One thread keeps the order of rows and the bytes of a file; extensions are not looked for on the net.
    config: dict[str, str | bool | int | float | list[str]] = {
        "threads": 1,
        "autoinstall_known_extensions": False,
        "autoload_known_extensions": False,
    }
    return duckdb.connect(config=config)


def table_of(database: DuckDBPyConnection, path: Path) -> None:
    """Make the results in a file the view `results`; raises `BadInput` for a file of another kind, `OSError`."""
    import duckdb  # noqa: PLC0415

    source = _source(path)
    with path.open("rb"):
        pass  # what cannot be opened is said in the words of the system
    try:
        database.execute(f"CREATE VIEW results AS SELECT {', '.join(_selected(path))} FROM {source}")
        counts = database.execute(f"SELECT count(*), {', '.join(_faults())} FROM results").fetchall()[0]
    except duckdb.Error as error:
        raise BadInput(f"{path} does not hold the results of a batch", str(error).splitlines()[0]) from None
    wrong = next(((name, n) for name, n in zip(COLUMNS, counts[1:], strict=True) if n), None)
    if wrong:
        told = f"`{wrong[0]}` is missing or wrong in {wrong[1]:,} of its {counts[0]:,} rows"
        raise BadInput(f"{path} does not hold the results of a batch: {told}", "write them again with `regrip batch`")


def is_results(path: Path) -> bool:
    """True where a file holds the results of a batch; raises `OSError`."""
    if format_of(path) == "parquet":
        with connected() as database:
            try:
                table_of(database, path)
            except BadInput:
                return False
            return True
    with path.open(encoding="utf-8", errors="replace") as file:
        first = file.readline(_LONGEST_ROW)
    if format_of(path) == "csv":
        return first.strip() == ",".join(COLUMNS)
    try:
        row = json.loads(first)
    except ValueError:
        return False
    return isinstance(row, dict) and row.keys() >= ALWAYS


_LONGEST_ROW = 10_000_000


def _faults() -> Iterator[str]:
    """In SQL, a column: how many rows have in it what no row can have."""
    for name in COLUMNS:
        lacks = f'"{name}" IS NULL' if name in ALWAYS else "false"
        wrong = WRONG.get(name, "false")
        yield f'count(*) FILTER ({lacks} OR coalesce({wrong}, true)) + 0 * count("{name}")'


def _source(path: Path) -> str:
    """The rows of a file in SQL; lists of a CSV are still text."""
    file = f"{_text(_no_pattern(str(path)))}, hive_partitioning = false"
    match format_of(path):
        case "parquet":
            return f"read_parquet({file})"
        case "csv":
            columns = {name: "VARCHAR" if name in LISTS else kind for name, kind in COLUMNS.items()}
            dialect = "header = true, auto_detect = false, delim = ',', quote = '\"', escape = '\"'"
            return f"read_csv({file}, {dialect}, columns = {_mapping(columns)})"
        case _:
            return f"read_json({file}, format = 'newline_delimited', columns = {_mapping(COLUMNS)})"


def _no_pattern(name: str) -> str:
    """A name as DuckDB takes it for this file and no other: it reads stars and brackets as a shell does."""
    return re.sub(r"([*?\[])", r"[\1]", name)


def _selected(path: Path) -> Iterator[str]:
    for name, kind in COLUMNS.items():
        as_text = name in LISTS and format_of(path) == "csv"
        yield f'CAST("{name}"{"::JSON" if as_text else ""} AS {kind}) AS "{name}"'


def _mapping(columns: Mapping[str, str]) -> str:
    return f"{{{', '.join(f'{_text(name)}: {_text(kind)}' for name, kind in columns.items())}}}"


def _text(value: object) -> str:
    """A text as SQL writes it."""
    return "'" + str(value).replace("'", "''") + "'"
