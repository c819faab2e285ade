"""Sheets are made with the starter catalogue: their figures and sources are what people see."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from cli.exit import guarded
from cli.main import regrip
from tests.cli.report.cases import Reports


@pytest.fixture(autouse=True)
def _small_catalogue() -> None:
    """Leave the starter catalogue in place."""


@pytest.fixture(scope="session")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Reports:
    """Reports by the command itself, each written the first time that it is asked for."""
    folder = tmp_path_factory.mktemp("reports")

    @cache
    def written(case: Path, suffix: str = ".html") -> Path:
        output = folder / f"{case.stem}{suffix}"
        guarded(regrip, ["report", str(case), "-o", str(output), "--plans", "2"])
        return output

    return written
