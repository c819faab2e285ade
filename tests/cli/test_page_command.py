"""`regrip page` before the server starts."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.ran import Run


def test_without_the_extra_it_says_what_to_install(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "starlette", None)

    assert (
        2,
        "",
        "regrip: the library `starlette` is not installed; install regrip with its extra: `regrip[page]`\n",
    ) == run("page")


def test_a_folder_or_a_missing_folder_is_refused(run: Run, tmp_path: Path) -> None:
    pytest.importorskip("starlette", reason="the extra `page` is not installed")
    pytest.importorskip("uvicorn", reason="the extra `page` is not installed")

    for path in (tmp_path, tmp_path / "none" / "case.yaml"):
        assert (2, "", f"regrip: {path} cannot be opened; name a file in a folder that exists\n") == run("page", path)
