"""Sampled cases, planned in this process where nothing else is said: fast, and with the tests' small catalogue."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import pytest
import yaml

import cli.commands.batch_run
from cli.batch.engine import Chunk
from cli.batch.worker import Done, Setting, Task, plan_chunk, prepare
from solver.case.sampling import sample_case

ROOT = Path(__file__).parents[3]
DEADLINE_S = 120
"""A test that waits longer for a process is stuck; none depends on how fast anything is."""


class Here:
    """An engine of no processes: a chunk is planned when it is submitted."""

    width = 1

    def __init__(self, setting: Setting, workers: int) -> None:
        self._stamp = setting.stamp
        prepare(setting)

    def __enter__(self) -> Here:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def submit(self, chunk: Chunk) -> Future[tuple[Done, ...]]:
        future: Future[tuple[Done, ...]] = Future()
        future.set_result(plan_chunk(self._stamp, chunk))
        return future

    def result(self, future: Future[tuple[Done, ...]]) -> tuple[Done, ...]:
        return future.result()

    def alone(self, task: Task) -> Done:
        return plan_chunk(self._stamp, (task,))[0]


@pytest.fixture
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    """No processes are started."""
    monkeypatch.setattr(cli.commands.batch_run, "Processes", Here)


def write_cases(folder: Path, count: int, **changes: Any) -> list[Path]:
    """Invented cases of the seed 7 in a folder, with some keys changed."""
    folder.mkdir(exist_ok=True)
    paths = [folder / f"case-{number:02}.yaml" for number in range(count)]
    for number, path in enumerate(paths):
        path.write_text(yaml.safe_dump(sample_case(7, number) | changes))
    return paths


def wait_for(there: Callable[[], bool]) -> None:
    until = time.monotonic() + DEADLINE_S
    while not there():
        if time.monotonic() > until:
            pytest.fail("a process of the test does not come up")
        time.sleep(0.05)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Six cases."""
    write_cases(tmp_path / "cases", 6)
    return tmp_path / "cases"
