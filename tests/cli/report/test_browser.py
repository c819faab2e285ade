"""Reports in a real browser: quiet, no wider than paper or phone, to scale, and open to those who cannot see them."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from solver.case.layout import Layout
from tests.cli.browsing import Medium, opened, violations
from tests.cli.report.cases import EXAMPLES, HOSTILE, PRINTED_MM, SHOWN, Reports, desk

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

A4, LETTER, PHONE = Medium("screen", 794), Medium("screen", 816), Medium("screen", 390)
"""210 mm, 8.5 inches, a common phone."""
MEDIA = {
    "A4": A4,
    "Letter": LETTER,
    "phone": PHONE,
    "printed on A4": Medium("print", 680),
    "printed on Letter": Medium("print", 702),
}
"""In print a line is as wide as the paper less 15 mm on either side."""

each_report = pytest.mark.parametrize("case", SHOWN.values(), ids=SHOWN)

SPILT = """() => {
  const root = document.documentElement, said = [];
  if (root.scrollWidth > root.clientWidth) said.push(`page by ${root.scrollWidth - root.clientWidth} px`);
  for (const drawing of document.querySelectorAll("svg")) {
    const frame = drawing.getBoundingClientRect();
    for (const text of drawing.querySelectorAll("text")) {
      const box = text.getBoundingClientRect();
      if (box.left < frame.left - 0.5 || box.right > frame.right + 0.5
          || box.top < frame.top - 0.5 || box.bottom > frame.bottom + 0.5) said.push(text.textContent);
    }
  }
  return said;
}"""
"""What is wider than the window, and every text that runs out of its drawing, in the font that the browser took."""

DRAWN_AT = """name => {
  const drawing = document.querySelector("svg");
  const box = of => drawing.querySelector(`[data-of="${CSS.escape(of)}"]`).getBoundingClientRect();
  const shape = box(name), px_per_mm = box("scale-0").width / 5;
  return [(shape.left + shape.width / 2) / px_per_mm, (shape.top + shape.height / 2) / px_per_mm];
}"""
"""Middle of a shape as laid out, in millimetres by the black half of the scale bar, which is 5 mm."""


@each_report
def test_page_is_quiet_and_nothing_runs_over(browser: Browser, reports: Reports, case: Path) -> None:
    with opened(browser, reports(case), A4) as shown:
        for name, medium in MEDIA.items():
            shown.turn_to(medium)
            assert [] == shown.page.evaluate(SPILT), name
        assert [] == shown.complaints


@each_report
def test_axe_finds_nothing(browser: Browser, reports: Reports, case: Path) -> None:
    """On the phone, where tables are scrolled, which asks the most of a page."""
    with opened(browser, reports(case), PHONE) as shown:
        assert [] == violations(shown.page)


def test_axe_is_heard(browser: Browser, tmp_path: Path) -> None:
    """An image without a text stands for what it would find: rule `image-alt` of axe-core."""
    bad = tmp_path / "bad.html"
    bad.write_text('<!DOCTYPE html><html lang="en"><title>t</title><main><h1>t</h1><img src="data:,"></main></html>')
    with opened(browser, bad, A4) as shown:
        assert ['image-alt: <img src="data:,">'] == violations(shown.page)


@pytest.mark.parametrize("case", EXAMPLES.values(), ids=EXAMPLES)
def test_supports_are_as_far_apart_on_the_page_as_in_the_case(browser: Browser, reports: Reports, case: Path) -> None:
    supports = Layout(desk(case).case).supports
    with opened(browser, reports(case), A4) as shown:
        seen = {name: shown.page.evaluate(DRAWN_AT, name) for name in supports}
    for one, other in combinations(supports, 2):
        apart_mm = math.dist(supports[one][:2], supports[other][:2])
        assert apart_mm == pytest.approx(math.dist(seen[one], seen[other]), abs=PRINTED_MM)


def test_text_of_a_case_stays_text(browser: Browser, reports: Reports) -> None:
    """Markup, script, right-to-left and very long words of every free field are seen as they were typed."""
    with opened(browser, reports(HOSTILE), PHONE) as shown:
        text = shown.page.inner_text("main")
        made = shown.page.evaluate(
            "['script', 'img', 'iframe', 'b', 'i'].filter(name => document.querySelector(name))"
        )

    assert [] == shown.complaints
    assert [] == made
    for typed in ("<script>alert(1)</script> עברית", "<img src=x onerror=alert(1)> مرحبا", "<b>Ms Doe</b> born 1940"):
        assert typed in text
