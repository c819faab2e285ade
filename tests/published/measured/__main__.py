"""Write the page of measured data: `python -m tests.published.measured`."""

from __future__ import annotations

from tests.published.measured.page import PAGE, page

PAGE.write_text(page(), encoding="utf-8")
