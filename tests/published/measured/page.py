"""The page of docs that sets regrip beside what was measured, and its figure."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from tests.published.measured import experts, hands, loads, pulls, upkeep
from tests.published.measured.row import Row, Standing

PAGE = Path(__file__).parents[3] / "docs" / "measured.md"
FIGURE = PAGE.with_suffix(".svg")

SECTIONS: Mapping[str, Sequence[Row]] = {
    "Pulls": pulls.ROWS,
    "Hold and hands": hands.ROWS,
    "Load and movement": loads.ROWS,
    "Wear and aftercare": upkeep.ROWS_4,
    "Survival": experts.ROWS_5,
    "Costs and minutes": upkeep.ROWS_6,
    "Rules of experts, cases of used parts": experts.ROWS_7,
}

_HEAD = """\
# Predicted against measured

Made by `python -m tests.published.measured` from the tables in `tests/published/measured`; a test keeps it so.
{count} lines: {agrees} agree, {open} stand open, {limit} are known limits of what regrip works out. Papers were read
in their abstracts, where few give newtons by direction: most lines are orders and ratios. Layouts stand on the usual
arch, with attachments of 10 N each; a level lift is the sum of all, as in a rig that lifts three chains at once.

How far to trust what a plan prints:

{trust}

![Where each figure of regrip lies against what agrees with the paper: circle agrees, square open, triangle known \
limit](measured.svg)
"""


def rows() -> tuple[Row, ...]:
    """Every line."""
    return tuple(row for section in SECTIONS.values() for row in section)


def page() -> str:
    """The whole page."""
    counts = {standing.name.lower(): sum(row.standing is standing for row in rows()) for standing in Standing}
    head = _HEAD.format(count=len(rows()), trust="\n".join(_trust()), **counts)
    tables = [line for name, section in SECTIONS.items() for line in _table(name, section)]
    return "\n".join([head, *tables])


def _trust() -> Iterator[str]:
    """A line a section: what agrees, and what does not."""
    yield "| output | agree | open | limit | does not agree |"
    yield "|---|---|---|---|---|"
    for name, section in SECTIONS.items():
        counts = [sum(row.standing is standing for row in section) for standing in Standing]
        off = "; ".join(dict.fromkeys(row.line for row in section if row.standing is not Standing.AGREES))
        yield f"| {name.lower()} | {' | '.join(map(str, counts))} | {off} |"


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
