"""Commands run in this process on a small catalogue of the tests' own."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

import catalogue.load
from cli.exit import guarded
from cli.main import regrip
from tests.cli.ran import Ran, Run

DATA = Path(__file__).parent / "data"


@pytest.fixture(autouse=True)
def _small_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    """The starter catalogue may change; these tests speak of entries of their own."""
    monkeypatch.setattr(catalogue.load, "STARTER", DATA / "catalogue")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """`run("plan", path)`: exit code, stdout and stderr of one command."""
    monkeypatch.delenv("REGRIP_TRACEBACK", raising=False)

    def runs(*arguments: str | Path, stdin: str = "") -> Ran:
        monkeypatch.setattr("sys.stdin", io.StringIO(stdin))
        code = guarded(regrip, [str(argument) for argument in arguments])
        return Ran(code, *capsys.readouterr())

    return runs
