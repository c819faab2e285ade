"""Tables on the screen: in a narrow window they become lists, so that no figure is cut short."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.terminal.screen import NARROWEST, Page, table

COLUMNS = ("=way", "=", ">EUR", ">N", "needs")
ROWS = [
    ("keep the bar", "open", "155.83", "5.0 to 12.0", ""),
    ("take the bar off", "only if", "1,593.34", "6.0 to 14.0", "permission"),
]


def shown(columns: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> str:
    page = Page(file=io.StringIO(), width=width)
    table(page, columns, rows)
    return "".join(f"{line.rstrip()}\n" for line in page.file.getvalue().splitlines())  # type: ignore[attr-defined]


TABLE = """\
 way                             EUR            N  needs
 keep the bar      open       155.83  5.0 to 12.0
 take the bar off  only if  1,593.34  6.0 to 14.0  permission
"""
LIST = """\
 - way: keep the bar; open; EUR: 155.83; N: 5.0 to 12.0
 - way: take the bar off; only if; EUR: 1,593.34; N: 6.0 to
   14.0; needs: permission
"""


@pytest.mark.parametrize(("width", "text"), [(61, TABLE), (60, LIST)], ids=["room enough", "one column short"])
def test_a_table_that_has_no_room_is_a_list(width: int, text: str) -> None:
    assert text == shown(COLUMNS, ROWS, width)


CELLS = st.text("0123456789.,abcdefghij \n", max_size=40)


@given(
    rows=st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS), min_size=1, max_size=4),
    columns=st.tuples(*[st.sampled_from(["a", "=b", ">c"])] * 4),
    width=st.integers(NARROWEST, 140),
)
def test_nothing_in_a_table_is_cut_at_any_width(
    rows: list[tuple[str, ...]], columns: tuple[str, ...], width: int
) -> None:
    written = Counter("".join("".join(row) for row in rows)) - Counter(" \n" * 10_000)

    assert written <= Counter(shown(columns, rows, width))
