"""The page of docs that sets regrip beside measured pulls and hands."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.published.measured import hands, pulls
from tests.published.measured.row import Row, Standing

PAGE = Path(__file__).parents[3] / "docs" / "measured.md"

_HEAD = """\
# Measured pulls and hands

Made by `python -m tests.published.measured` from the tables in `tests/published/measured`; a test keeps it so.
{count} lines: {agrees} agree, {open} stand open, {limit} are known limits of the statics of regrip. Papers were read
in their abstracts, where few give newtons by direction: most lines are orders and ratios. Layouts stand on the usual
arch, with attachments of 10 N each; a level lift is the sum of all, as in a rig that lifts three chains at once.
"""


def page() -> str:
    """The whole page."""
    rows = (*pulls.ROWS, *hands.ROWS)
    counts = {standing.name.lower(): sum(row.standing is standing for row in rows) for standing in Standing}
    head = _HEAD.format(
        count=len(rows), **{"agrees": counts["agrees"], "open": counts["open"]}, limit=counts["limit"]
    )
    return "\n".join([head, *_table("Pulls", pulls.ROWS), *_table("Hands", hands.ROWS)])


def _table(name: str, rows: Sequence[Row]) -> Iterator[str]:
    sources = list(dict.fromkeys(row.source for row in rows))
    yield f"## {name}\n"
    yield "| line | what | source | known | accepted | regrip | | why |"
    yield "|---|---|---|---|---|---|---|---|"
    for row in rows:
        source = str(sources.index(row.source) + 1)
        cells = (row.line, row.claim, source, row.known.value, _span(row), f"{row.ours():.3g}", row.standing.value)
        yield f"| {' | '.join(map(_cell, (*cells, row.why)))} |"
    yield ""
    yield from (f"{number}. {source}" for number, source in enumerate(sources, 1))
    yield ""


def _span(row: Row) -> str:
    if row.accepted is None:
        return "not seen"
    low, high = row.accepted
    return f"{low:.3g} or more" if math.isinf(high) else f"{low:.3g} to {high:.3g}"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
