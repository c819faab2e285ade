"""What a first screen drops where it is too long, and how it is laid out."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from rich.console import Console

from cli.terminal.first_screen import show_first_screen
from cli.wording.screen import MOST_LINES, Drop, Row, within

LONG = "word " * 30
ROWS = tuple(Row(drop.name.capitalize(), "short", drop) for drop in Drop)


@pytest.mark.parametrize("room", range(1, len(Drop) + 2))
def test_what_matters_least_goes_first_and_what_matters_most_never(room: int) -> None:
    kept = within(ROWS, room)

    assert [drop for drop in Drop if drop < max(room, 1)] == [row.drop for row in kept]


def test_a_row_counts_with_all_its_lines() -> None:
    rows = [Row("Fit", LONG), Row("Look", LONG, Drop.SECOND_LOOK)]
    each = len(rows[0].lines())

    assert 3 == each
    assert tuple(rows) == within(rows, 2 * each)
    assert (rows[0],) == within(rows, 2 * each - 1)


class Full:
    """A screen with far too much to say."""

    def __init__(self, money: str) -> None:
        self._money = money

    def head(self) -> str:
        return "Lower bar on two implants (43, 33)"

    def verdict(self) -> str:
        return "SHOULD FIT, two answers still needed; a sound bar is altered for good"

    def money(self) -> str:
        return self._money

    def rows(self) -> Iterator[Row]:
        yield Row("Fit", "first")
        yield Row("Fit", "second")
        yield from (Row("Trust", "short", Drop.TRUST) for _ in range(22))


@pytest.mark.parametrize(("money", "lines"), [("", 4), ("9 EUR", 4), ("about 300 to 510 EUR", 5)])
def test_the_screen_is_never_longer_whether_or_not_the_money_has_a_line_of_its_own(money: str, lines: int) -> None:
    """Twenty-two rows and four lines are one too many, so all that may go goes."""
    page = Console(file=io.StringIO(), width=80)

    show_first_screen(page, Full(money))

    assert isinstance(page.file, io.StringIO)
    shown = page.file.getvalue().splitlines()
    assert lines == len(shown) < MOST_LINES
    assert money in shown[lines - 3]
    assert ["Fit    first", "       second"] == shown[-2:]
