"""A case that begins with a scan, given to the page."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from catalogue.yaml_text import parse_yaml
from cli.page.document.document import OpenCase
from cli.page.form.entry import Said
from cli.page.work.job_queue import Answered
from solver.case.reading import read_case
from tests.cli.page.client import HOME, Page, served
from tests.solver.scan.of_case import scan_of
from tests.test_scanned_examples import EXAMPLES, stl

pytest.importorskip("trimesh", reason="the extra `scan` is not installed")


def send(page: Page, content: bytes, **asked: str) -> dict[str, Any]:
    told: dict[str, Any] = page.client.post("/scan", params=asked, content=content, headers={"origin": HOME}).json()
    return told


def test_a_scan_becomes_the_open_case(tmp_path: Path) -> None:
    """The bar of an example, scanned: two segments between three supports, each figure with its error."""
    example = read_case(parse_yaml((EXAMPLES / "two-angled-segments.yaml").read_text(), "example"))
    with served(tmp_path / "untitled.yaml") as page:
        told = send(page, stl(scan_of(example)), name="bar.stl", arch="lower")
        opened, shown = page.sitting.opened, page.client.get("/").text

    assert told["unsaved"]
    assert "assumed" in told["notes"] or "taken" in told["notes"]
    assert "Assumed, until you say otherwise" in shown
    assert opened is not None
    widths = [segment.width_mm for segment in opened.case.segments.values()]
    assert (3, 2) == (len(opened.case.supports), len(widths))
    assert all(width.low <= 1.8 <= width.high for width in widths)


TWO = """\
# Invented for these tests.
case: Two stretches of bar, not measured yet
arch: lower
supports:
  S1: {at_mm: [-16, 17, 0]}
  S2: {at_mm: [0, 25, 0]}
  S3: {at_mm: [16, 17, 0]}
segments:
  A: {between: [S1, S2], alloy: cobalt-chromium}   # as the work order of then says
  B: {between: [S2, S3], width_mm: 3 +- 0.1}
  C: {between: [S1, S3], gap_mm: 2}
money: {currency: EUR, bench_per_hour: 50, chair_per_hour: 120}
"""


@pytest.fixture(scope="module")
def scan() -> bytes:
    """Of the example: round bar of 1.8 mm over the same three supports."""
    return stl(scan_of(read_case(parse_yaml((EXAMPLES / "two-angled-segments.yaml").read_text(), "example"))))


def test_a_scan_fills_the_open_case_in_one_step_that_can_be_undone(tmp_path: Path, scan: bytes) -> None:
    """What the scan does not show stays, comments too; what was measured, left and contradicted is told."""
    path = tmp_path / "case.yaml"
    path.write_text(TWO)
    with served(path) as page:
        opening = str(page.sitting.opening)
        facts = send(page, scan, name="bar.stl", opening=opening, trueness="0,02")
        opened = page.sitting.opened
        assert opened is not None
        segments, text = opened.case.segments, opened.text
        page.post("/undo")
        undone = opened.text

    assert (TWO, opening) == (undone, str(facts["opening"]))
    assert all(segments[name].width_mm.low <= 1.8 <= segments[name].width_mm.high for name in "AB")
    assert ("cobalt-chromium", 2) == (segments["A"].alloy, segments["C"].gap_mm.value)
    assert "# as the work order of then says" in text
    told = facts["notes"].splitlines()
    assert "C was not found in the scan and stays as it is" in told
    assert any(line.startswith("A measured: bar section, bar width, bar height") for line in told)
    assert any(line.startswith("B bar width was 3 ± 0.1, which the scan contradicts; now 1.798") for line in told)


def test_what_is_typed_while_a_scan_is_measured_stands(
    tmp_path: Path, scan: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(TWO)
    with served(path) as page:
        sitting, measured = page.sitting, page.sitting.measure
        opened = sitting.opened
        assert opened is not None

        async def meanwhile(more: Mapping[str, str], into: OpenCase | None) -> Answered:
            answered = await measured(more, into)
            opened.put("money.cap", Said("300"), opened.revision, "two")
            return answered

        monkeypatch.setattr(sitting, "measure", meanwhile)
        send(page, scan, name="bar.stl", opening=str(sitting.opening))

        assert (300, "round") == (opened.case.money.cap, opened.case.segments["A"].section)


@pytest.mark.parametrize(
    ("teeth", "asked", "problem"),
    [
        ("43 33", {}, "the scan shows 3 supports"),
        ("43 31 33", {"trueness": "2"}, "2 mm is no error of a scanner"),
        ("43 31 33", {"trueness": "x"}, "error of the scanner: 'x' is no number"),
        ("43 31 33", {"units": "m"}, "m across is no bar"),
        ("43 31 33", {"opening": "99"}, ""),
    ],
    ids=["another-bar", "too-coarse", "no-number", "another-unit", "another-case"],
)
def test_a_scan_that_does_not_fit_the_open_case_changes_nothing(
    tmp_path: Path, scan: bytes, teeth: str, asked: dict[str, str], problem: str
) -> None:
    with served(tmp_path / "untitled.yaml") as page:
        page.post("/begin", **{"from": "new"}, teeth=teeth)
        opened = page.sitting.opened
        assert opened is not None
        before = opened.text
        told = send(page, scan, **({"name": "bar.stl", "opening": str(page.sitting.opening)} | asked))

        assert problem in told["problem"] if problem else {"elsewhere": True} == told
        assert (before, opened) == (opened.text, page.sitting.opened)


@pytest.mark.parametrize(
    ("name", "content", "problem"),
    [
        ("bar.txt", b"x", "this is no scan that can be read"),
        ("", b"x", "this is no scan that can be read"),
        ("bar.stl", b"nonsense", "scan.stl: "),
        ("../../bar.stl", b"", "scan.stl: "),
    ],
)
def test_what_is_no_scan_is_told_and_nothing_is_opened(
    tmp_path: Path, name: str, content: bytes, problem: str
) -> None:
    with served(tmp_path / "untitled.yaml") as page:
        told = send(page, content, name=name, arch="lower")

        assert told["problem"].startswith(problem)
        assert page.sitting.opened is None
