"""Commands run in this process on a small catalogue of the tests' own."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import catalogue.load
from cli.exit import guarded
from cli.main import regrip
from tests.cli.browsing import BROWSER_MISSING, DRIVER_MISSING, FLAGS, NO_NETWORK
from tests.cli.orders import CLIPS
from tests.cli.ran import Ran, Run, Stage

if TYPE_CHECKING:
    from playwright.sync_api import Browser

DATA = Path(__file__).parent / "data"


@pytest.fixture(autouse=True)
def _small_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    """The starter catalogue may change; these tests speak of entries of their own."""
    monkeypatch.setattr(catalogue.load, "STARTER", DATA / "catalogue")


@pytest.fixture(autouse=True)
def _eighty_columns(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the terminal of the one who runs them; tests that speak of another width set it."""
    monkeypatch.setenv("COLUMNS", "80")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """`run("plan", path)`: exit code, stdout and stderr of one command."""
    monkeypatch.delenv("REGRIP_TRACEBACK", raising=False)

    def runs(*arguments: str | Path, stdin: str = "") -> Ran:
        monkeypatch.setattr("sys.stdin", io.StringIO(stdin))
        code = guarded(regrip, [str(argument) for argument in arguments])
        return Ran(code, *capsys.readouterr())

    return runs


@pytest.fixture
def stage(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Stage:
    """`stage(data, case=text)`: a folder with `case.yaml`, beside the catalogue of `data`, to run commands in."""

    def staged(data: Path, **cases: str) -> Run:
        monkeypatch.setattr(catalogue.load, "STARTER", data / "catalogue")
        monkeypatch.chdir(tmp_path)
        for name, text in cases.items():
            Path(f"{name}.yaml").write_text(text)

        def says(*arguments: str | Path, stdin: str = "") -> Ran:
            ran = run(*arguments, stdin=stdin)
            return ran._replace(out="\n".join(line.rstrip() for line in ran.out.splitlines()) + "\n")

        return says

    return staged


@pytest.fixture
def cases(tmp_path: Path) -> list[Path]:
    """Two cases of the same bar; each takes clips on both segments or one, whatever holds at least cost."""
    paths = [tmp_path / "one.yaml", tmp_path / "two.yaml"]
    for path in paths:
        path.write_text(CLIPS)
    return paths


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, started once, headless, with no network; where it is missing its tests are skipped."""
    driver = pytest.importorskip("playwright.sync_api", reason=DRIVER_MISSING.format("playwright"))
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip(BROWSER_MISSING)
    with driver.sync_playwright() as started:
        running = started.chromium.launch(executable_path=chromium, args=[*FLAGS, NO_NETWORK])
        yield running
        running.close()
