"""Write the page of published checks: `python -m tests.published`."""

from __future__ import annotations

from tests.published.page import PAGE, page

PAGE.write_text(page(), encoding="utf-8")
