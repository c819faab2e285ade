"""`regrip batch sample` writes cases that the other commands read."""

from __future__ import annotations

from pathlib import Path

from cli.exit import BAD_INPUT, FITS
from tests.cli.ran import Run


def test_cases_are_written_and_read(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "trial" / "one"
    ran = run("sample", "3", "-o", folder)
    names = sorted(path.name for path in folder.iterdir())

    assert (FITS, "", f"regrip: wrote 3 invented cases into {folder}\n") == ran
    assert ["case-001.yaml", "case-002.yaml", "case-003.yaml"] == names
    assert all("invented: true" in path.read_text() for path in folder.iterdir())
    assert BAD_INPUT != run("order", *sorted(folder.iterdir())).code


def test_nothing_is_overwritten(run: Run, tmp_path: Path) -> None:
    run("sample", "1", "-o", tmp_path)
    before = (tmp_path / "case-001.yaml").read_text()
    again = run("sample", "2", "-o", tmp_path, "--seed", "9")

    assert BAD_INPUT == again.code
    assert "is already there" in again.err
    assert [before] == [path.read_text() for path in tmp_path.iterdir()]
