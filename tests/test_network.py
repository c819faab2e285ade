"""regrip opens no internet socket, but for `page` (this machine alone) and `batch --cluster` (the address given).

Python's own audit events tell of every socket that Python code opens, in the process and in those it starts: the hook
comes in by `sitecustomize`. Sockets that a compiled library would open by itself are not seen by it.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeAlias

import pytest

ROOT = Path(__file__).parents[1]
EXAMPLE = "docs/examples/two-angled-segments.yaml"
HOOK = """
import os, socket, sys

INTERNET = {socket.AF_INET, socket.AF_INET6}

def watch(event, given):
    if not event.startswith("socket.") or event == "socket.gethostname":
        return
    if given and isinstance(given[0], socket.socket):
        family = given[1] if event == "socket.__new__" else given[0].family
        if family not in INTERNET | {-1}:  # -1: the family of a socket that is taken over is not told
            return
    with open(os.environ["SEEN_SOCKETS"], "a") as seen:
        print(event, *(repr(one) for one in given[1:]), file=seen)

sys.addaudithook(watch)
"""

Watched: TypeAlias = Callable[..., subprocess.Popen[str]]


@pytest.fixture
def seen(tmp_path: Path) -> Path:
    path = tmp_path / "seen"
    path.touch()
    return path


@pytest.fixture
def watched(tmp_path: Path, seen: Path) -> Iterator[Watched]:
    """Starts a Python that notes its sockets in `seen`."""
    (tmp_path / "hook").mkdir()
    (tmp_path / "hook" / "sitecustomize.py").write_text(HOOK)
    path = os.pathsep.join([str(tmp_path / "hook"), str(ROOT)])
    environment = os.environ | {"PYTHONPATH": path, "SEEN_SOCKETS": str(seen), "PYTHONFAULTHANDLER": "1"}
    started: list[subprocess.Popen[str]] = []

    def start(*arguments: str) -> subprocess.Popen[str]:
        started.append(
            subprocess.Popen(
                [sys.executable, *arguments],
                cwd=ROOT, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
            )
        )  # fmt: skip
        return started[-1]

    yield start
    for process in started:
        process.kill()
        process.communicate()


COMMANDS = {
    "plan": ("plan", EXAMPLE),
    "check": ("check", EXAMPLE, "--put", "A=clip-round-metal-5"),
    "why": ("why", EXAMPLE),
    "draw": ("draw", EXAMPLE, "-o", "{there}/bar.svg"),
    "report": ("report", EXAMPLE, "-o", "{there}/sheet.html"),
    "catalogue": ("catalogue", "check"),
    "order": ("order", EXAMPLE, "docs/examples/upper-keep-the-bar.yaml"),
    "batch": ("batch", EXAMPLE, "-o", "{there}/rows.csv", "--workers", "1"),
}
NEEDS = {"report": "weasyprint", "draw": "resvg_py", "batch": "duckdb"}


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_opens_no_internet_socket(name: str, watched: Watched, seen: Path, tmp_path: Path) -> None:
    if name in NEEDS:
        pytest.importorskip(NEEDS[name], reason="the extra is not installed")
    ran = watched("-m", "cli.main", *(word.format(there=tmp_path) for word in COMMANDS[name]))
    _, told = ran.communicate(timeout=120)

    assert (True, "", "") == (ran.returncode in (0, 1), seen.read_text(), told if ran.returncode > 1 else "")


def test_the_page_listens_on_this_machine_alone(watched: Watched, seen: Path) -> None:
    for extra in ("starlette", "uvicorn"):
        pytest.importorskip(extra, reason="the extra `page` is not installed")
    ran = watched("-u", "-m", "cli.main", "page", EXAMPLE, "--no-browser")
    assert ran.stdout is not None
    assert "127.0.0.1" in ran.stdout.readline()
    ran.send_signal(signal.SIGINT)
    _end(ran)
    lines = seen.read_text().splitlines()

    assert ["('127.0.0.1', 0)"] == [line.removeprefix("socket.bind ") for line in lines if "bind" in line]
    assert [] == [line for line in lines if line.split()[0] not in ("socket.__new__", "socket.bind")]


def _end(ran: subprocess.Popen[str]) -> None:
    """Wait for the end; where it does not come, fail with the stack of every thread."""
    try:
        ran.communicate(timeout=60)
    except subprocess.TimeoutExpired:
        ran.send_signal(signal.SIGABRT)
        pytest.fail(f"it goes on after the interrupt:\n{ran.communicate()[1]}")


def test_a_cluster_is_asked_at_the_address_given_and_nowhere_else(
    watched: Watched, seen: Path, tmp_path: Path
) -> None:
    pytest.importorskip("distributed", reason="the extra `cluster` is not installed")
    batch = ["batch", EXAMPLE, "-o", str(tmp_path / "rows.jsonl"), "--cluster", "tcp://127.0.0.1:1"]
    soon = "import cli.batch.cluster as cluster; cluster.PATIENCE_S = 0.5"
    ran = watched("-c", f"{soon}\nfrom cli.main import main\nmain({batch!r})")
    _, told = ran.communicate(timeout=120)
    asked = [line for line in seen.read_text().splitlines() if line.startswith("socket.connect")]

    assert (2, "no Dask scheduler answers" in told) == (ran.returncode, True)
    assert {"socket.connect ('127.0.0.1', 1)"} == set(asked)


def test_the_watch_sees_a_socket_in_a_process_of_a_process(watched: Watched, seen: Path) -> None:
    """Else the other tests would prove nothing."""
    inner = "import socket; socket.socket(socket.AF_INET)"
    ran = watched("-c", f"import subprocess, sys; subprocess.run([sys.executable, '-c', {inner!r}], check=True)")
    ran.communicate(timeout=60)

    assert seen.read_text().startswith("socket.__new__")
