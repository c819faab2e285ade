"""A calm page in the terminal: headings, wrapped lines, plain tables; readable at 80 columns and without colour."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from typing import Any

from rich.cells import cell_len
from rich.console import Console, ConsoleOptions, JustifyMethod, RenderableType
from rich.markup import escape
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from cli.legible import harmless

NARROWEST = 60

GAP = 2
"""Blanks between the columns of a table."""

LONG = 12
"""Letters of a word above which a table may break it."""


class Page(Console):
    """A console on which text of files is text: nothing in it can steer the terminal or turn what follows."""

    def render(self, renderable: RenderableType, options: ConsoleOptions | None = None) -> Iterable[Segment]:
        """The pieces of what is shown, made harmless before they are laid out."""
        if isinstance(renderable, Text):
            renderable = renderable.copy()
            renderable.plain = harmless(renderable.plain)
        return super().render(renderable, options)

    def render_str(self, text: str, **how: Any) -> Text:
        """Markup as text, made harmless first."""
        return super().render_str(harmless(text), **how)

    def on_broken_pipe(self) -> None:
        """As it came: `cli.main` ends the command; what rich does by itself is an exit code of 1."""
        raise  # noqa: PLE0704 - rich calls this while it handles the error


def console() -> Console:
    """The console for answers, on stdout; colour only on a terminal and unless NO_COLOR is set."""
    found = Page(file=sys.stdout, highlight=False, emoji=False, soft_wrap=False)
    found.width = max(found.width, NARROWEST)
    return found


def heading(page: Console, title: str, note: str = "") -> None:
    """A section title with a remark beside it."""
    page.print()
    line = Text(title, style="bold")
    if note:
        line.append(f"  {note}", style="not bold dim")
    page.print(line)


def table(page: Console, columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """A table without frames; `>` before a name sets figures to the right, `=` keeps words whole.

    Where the page is too narrow for that, a list with a point for each row: no figure is ever cut short.
    """
    names = [name.lstrip(">=") for name in columns]
    rows = [tuple(row) for row in rows]
    whole = [name[:1] in (">", "=") for name in columns]
    if _least_width(names, rows, whole) > page.width:
        bullets(page, (_told(names, row) for row in rows))
        return
    grid = Table(box=None, padding=(0, GAP, 0, 0), header_style="dim", pad_edge=False, show_edge=False)
    for column, name, kept in zip(columns, names, whole, strict=True):
        justify: JustifyMethod = "right" if column.startswith(">") else "left"
        grid.add_column(escape(name), justify=justify, overflow="fold", no_wrap=kept)
    for row in rows:
        grid.add_row(*(escape(cell) for cell in row))
    page.print(Padding(grid, (0, 0, 0, 1), expand=False))


def _least_width(names: Sequence[str], rows: Sequence[Sequence[str]], whole: Sequence[bool]) -> int:
    """Columns below which a table cuts what is to be kept whole, or breaks words that are not very long."""
    cells = zip(names, *rows, strict=True)
    least = (
        _widest(texts) if kept else min(_widest(texts, None), LONG) for texts, kept in zip(cells, whole, strict=True)
    )
    return 1 + sum(least) + GAP * (len(names) - 1)


def _widest(texts: Iterable[str], separator: str | None = "\n") -> int:
    """The widest line of some texts, or the widest word where no separator is given."""
    return max((cell_len(part) for text in texts for part in text.split(separator)), default=0)


def _told(names: Sequence[str], row: Sequence[str]) -> str:
    """A row in one sentence."""
    pairs = ((name, ", ".join(cell.split("\n")).strip()) for name, cell in zip(names, row, strict=True))
    return "; ".join(f"{name}: {cell}" if name else cell for name, cell in pairs if cell)


def bullets(page: Console, lines: Iterable[str]) -> None:
    """One line a point, wrapped under its own start."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=1)
    grid.add_column(overflow="fold")
    for line in lines:
        grid.add_row("-", escape(line))
    page.print(Padding(grid, (0, 0, 0, 1), expand=False))


def lines(page: Console, texts: Iterable[str]) -> None:
    """One line each, wrapped under its own start."""
    for text in texts:
        page.print(Padding(Text(text), (0, 0, 0, 1), expand=False))
