"""The first screen in the terminal: a word at the margin, text wrapped beside it."""

from __future__ import annotations

from textwrap import wrap

from rich.console import Console
from rich.text import Text

from cli.wording.first_screen import FirstScreen, Row

MARGIN = 7
"""Columns of the word at the margin."""


def show_first_screen(page: Console, screen: FirstScreen) -> None:
    """Head, verdict with the money at the right, then the rows."""
    page.print(Text(screen.head(), style="bold"))
    _beside(page, screen.verdict(), screen.money())
    before = ""
    for row in screen.rows():
        _row(page, row, repeated=row.label == before)
        before = row.label or before


def _beside(page: Console, left: str, right: str) -> None:
    """Both in one line where there is room, else one under the other."""
    gap = page.width - len(left) - len(right)
    line = Text(left, style="bold")
    if right and gap >= 2:
        line.append(" " * gap + right, style="not bold")
        page.print(line)
        return
    page.print(line)
    if right:
        page.print(Text(right))


def _row(page: Console, row: Row, *, repeated: bool) -> None:
    label = "" if repeated else row.label
    lines = wrap(row.text, page.width - MARGIN, break_long_words=False) or [""]
    for number, text in enumerate(lines):
        page.print(Text(f"{label if not number else '':{MARGIN}}", style="dim") + Text(text, style="not dim"))
