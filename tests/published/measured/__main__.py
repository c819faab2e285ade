"""Write the page of measured data and its figure: `python -m tests.published.measured`."""

from __future__ import annotations

from tests.published.measured.figure import figure
from tests.published.measured.page import FIGURE, PAGE, SECTIONS, page

PAGE.write_text(page(), encoding="utf-8")
FIGURE.write_text(figure(SECTIONS), encoding="utf-8")
