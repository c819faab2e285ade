"""The journal of a batch: a whole line per case, synced before the next is begun, and found again after any end.

It is only appended to. A line that a dying run left torn is cut off when the journal is opened. Of several lines for
a file the last counts. A row may be kept when the bytes of its case, the catalogue, the version and the options are
those it was made from, unless its outcome could be another at the next try.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Any

from cli.batch.row import Stamp
from cli.batch.worker import Done
from cli.exit import BadInput

PASSING = ("undecided", "fault")
"""Outcomes that are tried again: they may hang on how busy the machine was."""


def journal_of(results: Path) -> Path:
    """Where the journal of a results file stands; results of one name in several formats share it."""
    return results.with_name(f"{results.stem}.journal.jsonl")


class Journal:
    """An open journal. Of every file only the place of its line and a digest are held in memory."""

    def __init__(self, path: Path, handle: int) -> None:
        self._path, self._handle = path, handle
        self._lines: dict[str, tuple[int, bytes]] = {}
        self._end = self._read()
        os.ftruncate(handle, self._end)

    def _read(self) -> int:
        """Index the lines; the end of the last whole one. Raises `BadInput` for a file of another kind."""
        end = 0
        with self._path.open("rb") as file:
            for line in file:
                if not line.endswith(b"\n"):
                    break
                if row := _row(line):
                    self._lines[row["file"]] = end, _identity(row)
                end += len(line)
        if end and not self._lines:
            raise BadInput(f"{self._path} is no journal of a batch", "move it away, or name other results")
        return end

    def holds(self, file: str, digest: str, stamp: Stamp) -> bool:
        """True where the row of a file may be kept."""
        known = self._lines.get(file)
        return known is not None and known[1] == _key(digest, stamp)

    def add(self, done: Iterable[Done]) -> None:
        """Append and sync, all or nothing; raises `OSError`."""
        data, places = b"", {}
        for row, ms in done:
            record = asdict(row)
            places[row.file] = self._end + len(data), _identity(record)
            data += json.dumps({"ms": ms, "row": record}, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
        try:
            _append(self._handle, data)
        except OSError as error:
            os.ftruncate(self._handle, self._end)
            raise OSError(error.errno, f"cannot be written: {error.strerror}", str(self._path)) from None
        self._end += len(data)
        self._lines |= places

    def rows(self, files: Iterable[str]) -> Iterator[dict[str, Any]]:
        """The rows of these files as they stand in a results file, in the order given; each must have been added."""
        with self._path.open("rb") as file:
            for name in files:
                file.seek(self._lines[name][0])
                yield _row(file.readline())


@contextmanager
def opened(path: Path) -> Iterator[Journal]:
    """The journal, for this run alone; raises `BadInput` where another has it, `OSError` where none can be kept."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o666)
    try:
        _lock(handle, path)
        yield Journal(path, handle)
    finally:
        os.close(handle)


def _lock(handle: int, path: Path) -> None:
    try:
        import fcntl  # noqa: PLC0415 - POSIX only; elsewhere nothing is locked
    except ImportError:
        return
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise BadInput(f"{path} is being written by another run", "wait for it, or name other results") from None


def _append(handle: int, data: bytes) -> None:
    """All of it, and on the disk before it counts."""
    left = memoryview(data)
    while left:
        left = left[os.write(handle, left) :]
    os.fsync(handle)


def _row(line: bytes) -> dict[str, Any]:
    """The row in a line; empty where there is none."""
    try:
        read = json.loads(line)
    except ValueError:
        return {}
    row = read.get("row") if isinstance(read, dict) else None
    return row if isinstance(row, dict) and "file" in row else {}


def _identity(row: dict[str, Any]) -> bytes:
    if row["outcome"] in PASSING or row["digest"] is None:
        return b""
    return _key(row["digest"], Stamp(row["catalogue"], row["version"], row["asked"]))


def _key(digest: str, stamp: Stamp) -> bytes:
    return hashlib.sha256("\n".join((digest, *stamp)).encode()).digest()[:16]
