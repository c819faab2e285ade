"""The program as a process: a damaged file given to a command drawn by its content, in a folder of its own."""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

from tests.fuzz.corpus import OVERLAY, cases

COMMANDS = (
    ("plan", "case.yaml", "--time-limit", "5"),
    ("plan", "case.yaml", "--json", "--time-limit", "5"),
    ("plan", "good.yaml", "--catalogue", "case.yaml", "--time-limit", "5"),
    ("check", "case.yaml", "--put", "A=clip-round-metal-5"),
    ("why", "case.yaml", "--time-limit", "5"),
    ("give", "case.yaml", "--time-limit", "5"),
    ("ask", "case.yaml", "--time-limit", "5"),
    ("vary", "case.yaml", "--set", "segments.A.width_mm=2.0", "--time-limit", "5"),
    ("trade", "case.yaml", "--between", "cost,hold", "--time-limit", "5"),
    ("strategies", "case.yaml", "--time-limit", "5"),
    ("draw", "case.yaml", "-o", "out.svg"),
    ("report", "case.yaml", "-o", "out.html", "--time-limit", "5"),
    ("catalogue", "check", "case.yaml"),
    ("order", "case.yaml", "--time-limit", "5"),
)
MOST_BYTES = 4_000_000_000
LIMIT_S = 300.0
"""By the clock, long for a busy machine; the tally tells what took over ten seconds of processor."""


class Fault(Exception):
    """The program ended in a way that it never may."""


def files() -> list[bytes]:
    """Cases, and a catalogue."""
    return [*cases(), OVERLAY]


def ask(data: bytes) -> None:
    """Run one command on the file; raises `Fault`."""
    command = COMMANDS[zlib.crc32(data) % len(COMMANDS)]
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        (here / "case.yaml").write_bytes(data)
        (here / "good.yaml").write_bytes(cases()[0])
        before = {path.name: path.read_bytes() for path in here.iterdir()}
        try:
            done = subprocess.run(
                [sys.executable, "-c", "from cli.main import main; main()", *command],
                cwd=here,
                capture_output=True,
                timeout=LIMIT_S,
                check=False,
                preexec_fn=_bounded,
                env={"PYTHONPATH": str(Path(__file__).parents[2]), "PATH": "", "HOME": folder},
            )
        except subprocess.TimeoutExpired:
            raise Fault(f"{command}: over {LIMIT_S:g} s") from None
        _judge(command, done, before, {path.name: path.read_bytes() for path in here.iterdir()})


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def _judge(
    command: tuple[str, ...],
    done: subprocess.CompletedProcess[bytes],
    before: dict[str, bytes],
    after: dict[str, bytes],
) -> None:
    if done.returncode not in (0, 1, 2, 3):
        raise Fault(f"{command}: exit code {done.returncode}: {done.stderr[-200:]!r}")
    if b"Traceback" in done.stdout + done.stderr:
        raise Fault(f"{command}: a traceback")
    if done.returncode == 2 and done.stdout and "--json" not in command:
        raise Fault(f"{command}: refused, and yet {done.stdout[:80]!r}")
    changed = {name for name in before if before[name] != after.get(name)} | set(after) - set(before)
    if changed - {"out.svg", "out.html", ".cache"}:
        raise Fault(f"{command}: wrote {sorted(changed)}")
