"""A case on disk, and one server for the tests in a browser that need no case of their own."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.page.browser import Server, serving
from tests.cli.page.cases import TEXT
from tests.cli.page.diagnosis import close_all, note

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.hookimpl(wrapper=True)
def pytest_pyfunc_call() -> Generator[None, object, object]:
    """A test that fails tells what its pages were at, as it may not fail again."""
    try:
        return (yield)
    except Exception as error:
        note(error)
        raise
    finally:
        close_all()


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
