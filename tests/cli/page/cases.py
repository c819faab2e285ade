"""A case of these tests, with comments to keep."""

from __future__ import annotations

from catalogue.load import load_catalogue
from cli.page.document.document import OpenCase

TEXT = """\
# Invented for these tests.
case: A bar on two implants   # its title
invented: true
arch: lower
room: {space_mm: 13.5, top_mm: 5, breadth_mm: 11}
supports:
  S1: {tooth: 43}   # the right one
  S2: {tooth: 33}
segments:
  # measured on the cast
  A:
    between: [S1, S2]
    section: round
    width_mm: 1.8 +- 0.05   # three times
    height_mm: 1.8
    undercut_mm: unknown
# what it may cost
money: {currency: EUR, cap: 400, bench_per_hour: 50, chair_per_hour: 120}
"""


def opened(text: str = TEXT) -> OpenCase:
    """The case, being edited."""
    return OpenCase(text, "case.yaml", load_catalogue())
