"""The first screen in the terminal: a word at the margin, text wrapped beside it."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from cli.wording.screen import MARGIN, MOST_LINES, Row, Screen, within


def show_first_screen(page: Console, screen: Screen) -> None:
    """Head, verdict with the money at the right, then the rows that there is room for."""
    top = [Text(screen.head(), style="bold"), *_beside(page, screen.verdict(), screen.money())]
    page.print(*top, sep="\n")
    before = ""
    for row in within(screen.rows(), MOST_LINES - len(top), page.width):
        _row(page, row, repeated=row.label == before)
        before = row.label or before


def _beside(page: Console, left: str, right: str) -> list[Text]:
    """Both in one line where there is room, else one under the other."""
    gap = page.width - len(left) - len(right)
    if right and gap >= 2:
        return [Text(left, style="bold") + Text(" " * gap + right, style="not bold")]
    return [Text(left, style="bold"), *([Text(right)] if right else [])]


def _row(page: Console, row: Row, *, repeated: bool) -> None:
    label = "" if repeated else row.label
    for number, text in enumerate(row.lines(page.width)):
        page.print(Text(f"{label if not number else '':{MARGIN}}", style="dim") + Text(text, style="not dim"))
