"""In a browser: no error on the console, and nothing wider than the page on paper or phone."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.cli.ran import Run
from tests.cli.report.cases import BINDS, HOSTILE, WORN_BALL

CHROMIUM = shutil.which("chromium")
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--allow-file-access-from-files",
    "--virtual-time-budget=10000",
)
WIDTHS = {"A4": 794, "Letter": 816, "phone": 390}
"""Pixels at 96 to the inch; a common phone."""

FRAMES = """<!DOCTYPE html><title>frames</title><pre id="told"></pre>
{frames}
<script>
window.onload = () => {{
  const told = [...document.querySelectorAll("iframe")].map(frame => {{
    const root = frame.contentDocument.documentElement;
    return [frame.id, root.scrollWidth - root.clientWidth];
  }});
  document.getElementById("told").textContent = JSON.stringify(Object.fromEntries(told));
}};
</script>"""


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
@pytest.mark.parametrize("case", [WORN_BALL, BINDS, HOSTILE], ids=lambda path: path.stem)
def test_page_is_quiet_and_no_wider_than_its_window(run: Run, tmp_path: Path, case: Path) -> None:
    run("report", case, "-o", tmp_path / "case.html", "--plans", "2")
    frames = [
        f'<iframe id="{name}" src="case.html" style="width:{width}px;height:900px"></iframe>'
        for name, width in WIDTHS.items()
    ]
    outer = tmp_path / "frames.html"
    outer.write_text(FRAMES.format(frames="\n".join(frames)), encoding="utf-8")
    command = [
        CHROMIUM or "",
        *QUIET,
        f"--user-data-dir={tmp_path / 'profile'}",
        "--enable-logging=stderr",
        "--dump-dom",
    ]
    done = subprocess.run([*command, outer.as_uri()], capture_output=True, text=True, timeout=120, check=True)
    told = re.search(r'<pre id="told">(.*?)</pre>', done.stdout, re.DOTALL)
    assert told is not None

    assert dict.fromkeys(WIDTHS, 0) == json.loads(html.unescape(told[1]))
    assert [] == [line for line in done.stderr.splitlines() if ":CONSOLE" in line]
