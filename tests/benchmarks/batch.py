"""Throughput, memory and scaling of a batch: python -m tests.benchmarks.batch FOLDER WORKERS... (Linux).

Wall time means something on an idle machine only; processor time nearly so on a busy one too. What the run itself
uses beside its workers is the part that more workers do not make less.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

EVERY_S = 2.0
TICKS = os.sysconf("SC_CLK_TCK")
PAGE_MIB = os.sysconf("SC_PAGE_SIZE") / 2**20


class Sight(NamedTuple):
    """A look at a running batch: lines in its journal, its own processor time, memory of it and of its workers."""

    lines: int
    own_s: float
    own_mib: float
    workers_mib: tuple[float, ...]


def watch(folder: str, workers: int, results: Path) -> tuple[dict[str, float], list[Sight]]:
    """Run a batch to its end; what it says, with wall and processor time, and looks at it on the way."""
    command = [sys.executable, "-m", "cli.main", "batch", folder, "-o", str(results), "--json"]
    begun = time.monotonic()
    process = subprocess.Popen([*command, "--workers", str(workers)], stdout=subprocess.PIPE, text=True)
    sights = list(_sights(process, results.with_name(f"{results.stem}.journal.jsonl")))
    assert process.stdout is not None
    said = json.loads(process.stdout.read())
    _, _, used = os.wait4(process.pid, 0)
    cpu_s = used.ru_utime + used.ru_stime
    return said | {"wall_s": time.monotonic() - begun, "cpu_s": cpu_s, "own_s": sights[-1].own_s}, sights


def _sights(process: subprocess.Popen[str], journal: Path) -> Iterator[Sight]:
    lines, end = 0, 0
    while (stat := _stat(process.pid)) and stat[0] != "Z":
        if journal.exists():
            with journal.open("rb") as file:
                file.seek(end)
                lines += file.read().count(b"\n")
                end = file.tell()
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()
        memory = (_memory_mib(int(child)) for child in children)
        # The small one is the process of multiprocessing that clears up after a crash.
        big = tuple(sorted(mib for mib in memory if mib > 40))
        yield Sight(lines, (int(stat[11]) + int(stat[12])) / TICKS, _memory_mib(process.pid), big)
        time.sleep(EVERY_S)


def _stat(pid: int) -> list[str]:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2].split()
    except OSError:
        return []


def _memory_mib(pid: int) -> float:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * PAGE_MIB
    except OSError:
        return 0.0


def main(folder: str, counts: list[int]) -> None:
    """A line a run, and the memory on the way of the last."""
    print("workers  cases  wall s  cases/s  cpu ms a case: all  in workers  beside them")
    for count in counts:
        with tempfile.TemporaryDirectory() as there:
            said, sights = watch(folder, count, Path(there) / "results.csv")
        n = said["cases"]
        each = (1000 * said["cpu_s"] / n, said["cpu_ms_per_case"], 1000 * said["own_s"] / n)
        print(f"{count:7}  {n:5}  {said['wall_s']:6.1f}  {n / said['wall_s']:7.1f}", *(f"{ms:10.1f}" for ms in each))
    print("\n  cases  MiB of the run  MiB of the workers")
    for sight in sights[:: max(1, len(sights) // 20)]:
        print(f"{sight.lines:7}  {sight.own_mib:14.0f}  {', '.join(f'{mib:.0f}' for mib in sight.workers_mib)}")


if __name__ == "__main__":
    main(sys.argv[1], [int(count) for count in sys.argv[2:]] or [1, 2])
