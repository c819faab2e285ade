"""A case that begins with a scan, given to the page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from catalogue.yaml_text import parse_yaml
from solver.read_case import read_case
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
