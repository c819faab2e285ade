"""A batch as a process of its own, met at a pipe among its cases: there it waits until somebody writes."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.cli.batch.conftest import DEADLINE_S, ROOT


class Batch:
    """A run of the command in a process group of its own."""

    def __init__(self, folder: Path, *before: str, how: Sequence[str] = ("--workers", "2", "--json")) -> None:
        self.results = folder.with_name("results.csv")
        begin = [*before, sys.executable, "-m", "cli.main", "batch", str(folder), "-o", str(self.results)]
        self.process = subprocess.Popen(
            [*begin, *how],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            start_new_session=True,
            text=True,
        )

    def at(self, path: Path) -> int:
        """Wait until the run reads the pipe; our end of it."""
        until = time.monotonic() + DEADLINE_S
        while time.monotonic() < until and self.process.poll() is None:
            try:
                return os.open(path, os.O_WRONLY | os.O_NONBLOCK)
            except OSError as error:
                if error.errno != errno.ENXIO:  # nobody reads yet
                    raise
                time.sleep(0.02)
        pytest.fail(f"the run does not come to {path}: {self.process.communicate()}")

    def ended(self) -> tuple[int, dict[str, object]]:
        """Exit code and answer; asked for as JSON."""
        out, err = self.process.communicate(timeout=DEADLINE_S)
        assert "" == err, (err, out, self.process.returncode)
        return self.process.returncode, json.loads(out)
