"""The tests of a module on one fault: a fork of this process, in a copy of the tree, up to the first failure.

The libraries are loaded once, before the fork; what belongs to the tree is loaded anew each time.
"""

from __future__ import annotations

import contextlib
import math
import multiprocessing
import os
import resource
import shutil
import signal
import sys
import tempfile
from collections.abc import Iterator, Sequence
from enum import Enum
from importlib import import_module
from pathlib import Path

import hypothesis
import pytest

ROOT = Path(__file__).parents[2]
_ROOMS = ("catalogue", "solver", "cli", "tests")
_LIBRARIES = (
    "numpy",
    "scipy.optimize",
    "ortools.sat.python.cp_model",
    "highspy",
    "clarabel",
    "pydantic",
    "babel.core",
)
_FORK = multiprocessing.get_context("fork")


_WAIT = 20
"""Seconds by the clock for each of processor time, before a child counts as stuck."""


class End(Enum):
    """What became of a fault."""

    SURVIVED = "survived"
    FAILED = "failed"
    TIMEOUT = "timeout"


@contextlib.contextmanager
def copy_of_tree() -> Iterator[Path]:
    """A copy of the tree that faults may be put into; gone afterwards."""
    for library in _LIBRARIES:
        import_module(library)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        for room in (*_ROOMS, "docs"):
            shutil.copytree(ROOT / room, Path(folder, room), ignore=shutil.ignore_patterns("__pycache__"))
        for file in ("README.md", "DEVELOPERS.md", "pyproject.toml", "Makefile"):
            shutil.copy(ROOT / file, folder)
        yield Path(folder)


def put(text: str, module: Path, moment: int) -> None:
    """Write a module with a time of its own, so that no compiled file of another fault is taken for it."""
    module.write_text(text, encoding="utf-8")
    os.utime(module, (moment, moment))


def tests_end(tree: Path, files: Sequence[str], limit_s: float) -> tuple[End, float]:
    """How these test files end in this tree, and after how many seconds of processor time, at most `limit_s`."""
    before = _processor_s()
    child = _FORK.Process(target=_run, args=(tree, files, math.ceil(limit_s)))
    child.start()
    child.join(_WAIT * limit_s)
    if child.exitcode is None:  # it waits for something: nothing is reckoned
        os.killpg(child.pid or 0, signal.SIGKILL)
        child.join()
    took_s = _processor_s() - before
    if child.exitcode in (-signal.SIGXCPU, -signal.SIGKILL):
        return End.TIMEOUT, took_s
    return End.FAILED if child.exitcode else End.SURVIVED, took_s


def _processor_s() -> float:
    """Processor time of all children that have ended; a machine that is busy or asleep does not add to it."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _run(tree: Path, files: Sequence[str], limit_s: int) -> None:
    os.setsid()  # a group of its own, so that what it starts ends with it
    resource.setrlimit(resource.RLIMIT_CPU, (limit_s, limit_s + 1))
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nowhere, stream)
    os.chdir(tree)
    for name in [name for name in sys.modules if name.partition(".")[0] in _ROOMS]:
        del sys.modules[name]
    sys.path[:] = [str(tree), *(place for place in sys.path if place not in ("", str(ROOT)))]
    # Neither smallest example nor explanation: the first failure is all that counts.
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("mutants", deadline=None, derandomize=True, phases=phases)
    told = ["-x", "-p", "no:cacheprovider", "--hypothesis-profile=mutants"]
    loaded = "ignore::pytest.PytestAssertRewriteWarning"  # hypothesis is loaded before pytest can rewrite it
    sys.exit(int(pytest.main([*told, "-W", loaded, *files])))
