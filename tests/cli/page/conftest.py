"""A case on disk, and one server for the tests in a browser that need no case of their own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.page.browser import Server, serving
from tests.cli.page.cases import TEXT

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    return path


@pytest.fixture(scope="module")
def served(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for the tests that need no case of their own."""
    path = tmp_path_factory.mktemp("case") / "case.yaml"
    path.write_text(TEXT)
    with serving(path) as server:
        yield server
