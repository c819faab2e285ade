"""The examples of `docs/programs.md` run as they stand, and print what stands behind them."""

from __future__ import annotations

import contextlib
import io
import re
import shutil
import sys
from pathlib import Path

import pytest

import cli.public

ROOT = Path(__file__).parents[1]
BLOCKS = re.findall(r"^```python\n(.*?)^```$", (ROOT / "docs" / "programs.md").read_text(), re.MULTILINE | re.DOTALL)


def test_they_run_in_order_and_print_what_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "regrip", cli.public)  # installed, this is what `import regrip` gives
    monkeypatch.chdir(tmp_path)
    shutil.copy(ROOT / "docs" / "examples" / "two-angled-segments.yaml", "case.yaml")
    shutil.copy(ROOT / "tests" / "cli" / "data" / "our-prices.yaml", "our-prices.yaml")
    names: dict[str, object] = {}

    assert len(BLOCKS) >= 5
    for block in BLOCKS:
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            exec(compile(block, "docs/programs.md", "exec"), names)
        told = [line.partition("# > ")[2] for line in block.splitlines() if "# > " in line]
        assert told == printed.getvalue().splitlines(), block
