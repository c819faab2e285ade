"""`regrip example`: worked examples without a checkout."""

from __future__ import annotations

from pathlib import Path

from cli.exit import BAD_INPUT, FITS
from tests.cli.ran import Run

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"


def test_all_are_listed(run: Run) -> None:
    listed = [line.split()[0] for line in run("example").out.splitlines()[1:]]

    assert sorted(path.stem for path in EXAMPLES.rglob("*.yaml")) == sorted(listed)


def test_one_is_printed_as_it_stands(run: Run) -> None:
    assert (FITS, (EXAMPLES / "over-budget.yaml").read_text(), "") == run("example", "over-budget")


def test_one_is_written(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"

    assert (FITS, "", f"regrip: wrote {path}\n") == run("example", "stock", "-o", path)
    assert (EXAMPLES / "purchasing" / "stock.yaml").read_bytes() == path.read_bytes()


def test_a_name_that_is_none(run: Run) -> None:
    assert (BAD_INPUT, "", "regrip: there is no example 'bar-of'; did you mean `bar-off`?\n") == run(
        "example", "bar-of"
    )
    assert run("example", "zzz").err.startswith("regrip: there is no example 'zzz'; one of bar-off, ")
    assert run("example", "-o", "x.yaml").err.startswith("regrip: no example is named; one of bar-off, ")
