"""Which files a batch is about, and what stands in them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path

from catalogue.yaml_text import read_raw
from cli.batch.worker import Task
from cli.exit import BadInput

SUFFIXES = (".yaml", ".yml")


def case_files(cases: Iterable[str]) -> list[str]:
    """Every case once, in order of name; a folder stands for the YAML files in it. Raises `BadInput`, `OSError`."""
    found = sorted({file for case in cases for file in _files(Path(case))})
    if not found:
        raise BadInput("no case is given", "name case files, or folders of them")
    return found


def _files(path: Path) -> Iterator[str]:
    if not path.is_dir():
        yield str(path)
        return
    inside = [str(file) for file in path.iterdir() if file.suffix in SUFFIXES]
    if not inside:
        raise BadInput(f"no case file is in the folder {path}", f"they end in {' or '.join(SUFFIXES)}")
    yield from inside


def task_of(file: str) -> Task:
    """A case as it stands on the disk; raises `InputError` where it cannot be read."""
    raw = read_raw(file)
    return Task(file, raw, hashlib.sha256(raw).hexdigest())
