"""How long from a key to the answer, in a real browser; and twenty tabs that type for a minute. Figures only.

python -m tests.benchmarks.page [seconds of the load, 60 unless given; 0 leaves it out]
"""

from __future__ import annotations

import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx2
from playwright.sync_api import Browser, sync_playwright

from cli.files.desk import open_desk
from solver.choose.plan import plan
from tests.benchmarks.__main__ import median_ms
from tests.cli.browsing import FLAGS, NO_NETWORK
from tests.cli.page.browser import ROOT, Server, opened, serving, settled

EXAMPLES = ("two-angled-segments", "lower-three-supports")
FIELD = "segments.A.height_mm"
KEYS = 40
TYPED = {
    **{f"segments.{site}.{key}": 1.5 for site in "AB" for key in ("width_mm", "height_mm", "gap_mm")},
    **{f"segments.{site}.undercut_mm": 0.2 for site in "AB"},
    **{f"supports.S{n}.{key}": 3 for n in (1, 2, 3) for key in ("diameter_mm", "tilt_deg")},
    "room.space_mm": 12, "room.top_mm": 4, "room.breadth_mm": 10, "wanted.hold_n": 4,
    "money.bench_per_hour": 50, "money.chair_per_hour": 100,
}  # fmt: skip
"""A figure for each of twenty tabs, and about what stands in it."""

TYPE = """async ([at, keys]) => {
  const field = document.getElementById('f-' + at), answer = document.getElementById('answer'), taken = [];
  for (let n = 0; n < keys; n += 1) {
    const before = Number(answer.dataset.of);
    const shown = new Promise((resolve) => {
      const watch = new MutationObserver(() => {
        if (Number(answer.dataset.of) > before && answer.dataset.current === 'yes') { watch.disconnect(); resolve(); }
      });
      watch.observe(answer, { attributes: true });
    });
    const start = performance.now();
    field.value = (1.5 + 0.01 * n).toFixed(2);
    field.dispatchEvent(new InputEvent('input', { bubbles: true }));
    await shown;
    taken.push(performance.now() - start);
    await new Promise((resolve) => setTimeout(resolve, 250));
  }
  return taken;
}"""


def copied(name: str, folder: Path) -> Path:
    """An example in a folder that may be written."""
    path = folder / f"{name}.yaml"
    path.write_text((ROOT / "docs" / "examples" / f"{name}.yaml").read_text())
    return path


def key_to_answer(chrome: Browser, server: Server) -> list[float]:
    """Milliseconds from each change of a figure to its answer on the screen."""
    page = opened(chrome, server)
    settled(page)
    page.evaluate(TYPE, [FIELD, 3])
    taken: list[float] = page.evaluate(TYPE, [FIELD, KEYS])
    page.context.close()
    return taken


def memory_mb(server: Server) -> float:
    """Resident memory of the server and its workers."""
    listed = subprocess.run(["ps", "-eo", "pid=,ppid=,rss="], capture_output=True, text=True, check=True).stdout
    rows = [tuple(map(int, line.split())) for line in listed.splitlines()]
    parent = {pid: above for pid, above, _ in rows}
    return sum(rss for pid, _, rss in rows if server.process.pid in _line(pid, parent)) / 1024


def _line(pid: int, parent: dict[int, int]) -> Iterator[int]:
    while pid in parent:
        yield pid
        pid = parent[pid]


class Tab(threading.Thread):
    """Types into a figure and asks for the answer, as the page does, as fast as it is answered."""

    def __init__(self, server: Server, at: str, until: float) -> None:
        super().__init__()
        self.home, self.at, self.until = server.address.rstrip("/"), at, until
        self.client = httpx2.Client(base_url=self.home, timeout=60)
        self.client.post("/enter", data={"key": server.key()})
        self.taken: list[float] = []
        self.errors = 0

    def run(self) -> None:
        """Until the time is over."""
        with self.client as client:
            facts = client.get("/state").json()
            while time.monotonic() < self.until:
                said = {
                    "at": self.at, "value": f"{TYPED[self.at] + time.monotonic() % 0.5:.2f}", "tab": self.at,
                    "base": facts["revision"], "opening": facts["opening"],
                }  # fmt: skip
                start = time.perf_counter()
                edit = client.post("/edit", json=said, headers={"origin": self.home})
                answer = client.get("/answer", params={"job": "plan"})
                self.taken.append(1000 * (time.perf_counter() - start))
                self.errors += "essences" not in edit.json() or "html" not in answer.json()
                facts = answer.json()
                time.sleep(0.1)


def load(server: Server, seconds: float) -> None:
    """Twenty tabs, with the memory after each quarter of the time."""
    until = time.monotonic() + seconds
    tabs = [Tab(server, at, until) for at in TYPED]
    for tab in tabs:
        tab.start()
    memory = []
    for _ in range(4):
        time.sleep(seconds / 4 - 1)
        memory.append(memory_mb(server))
    for tab in tabs:
        tab.join()
    taken = sorted(one for tab in tabs for one in tab.taken)
    errors = sum(tab.errors for tab in tabs)
    print(
        f"{len(tabs)} tabs for {seconds:.0f} s: {len(taken)} edits answered, {errors} errors, median "
        f"{statistics.median(taken):.0f} ms, worst {taken[-1]:.0f} ms; MB {json.dumps([round(m) for m in memory])}"
    )


def main(seconds: float) -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        path = shutil.which("chromium") or "chromium"
        chrome = driver.chromium.launch(executable_path=path, args=[*FLAGS, NO_NETWORK])
        for name in EXAMPLES:
            with serving(copied(name, Path(folder))) as server:
                taken = sorted(key_to_answer(chrome, server))
                desk = open_desk(str(copied(name, Path(folder))))
                alone = median_ms(lambda d=desk: plan(d.case, d.catalogue), 15)  # type: ignore[misc]
                print(
                    f"{name}: key to answer, median {statistics.median(taken):.0f} ms, "
                    f"90 % under {taken[int(0.9 * len(taken))]:.0f} ms, {len(taken)} keys; "
                    f"the plan alone just after {alone:.0f} ms; load {os.getloadavg()[0]:.1f}"
                )
    if seconds:
        with tempfile.TemporaryDirectory() as folder, serving(copied(EXAMPLES[0], Path(folder))) as server:
            load(server, seconds)


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 60.0)
