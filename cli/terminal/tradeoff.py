"""The trade-off on the screen."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.tradeoff import axis_label, title
from cli.wording.words import mix
from solver.choose.goals import Axis
from solver.explore.tradeoff import Front


def show_front(page: Console, found: Front) -> None:
    """Every point with what one step costs and wins, and the knee."""
    problem, (first, second) = found.problem, found.axes
    page.print(
        Text(problem.case.case, style="bold")
        + Text(f": {title(first)} against {title(second)}, {_proof(found)}", style="not bold")
    )
    if not found.points:
        if not found.complete:
            return
        bullets(page, ["no mix keeps every rule, so there is nothing to trade; `regrip plan` says what has to give"])
        return
    heading(page, "Worth choosing", "every other mix is worse in one of the two and better in none")
    columns = (f">{axis_label(found, first)}", f">{axis_label(found, second)}", "", "mix")
    table(page, columns, _rows(found))
    if found.knee is not None:
        heading(page, "Knee")
        bullets(
            page, ["the point farthest beyond the straight line between the two ends, both scales stretched alike"]
        )


def _proof(found: Front) -> str:
    return "proved complete" if found.complete else "undecided in the time given, there may be more"


def _rows(found: Front) -> Iterator[tuple[str, str, str, str]]:
    for index, point in enumerate(found.points):
        first, second = (_value(found, a, v) for a, v in zip(found.axes, (point.first, point.second), strict=True))
        yield first, second, "knee" if index == found.knee else "", mix(point.plan.mix)


def _value(found: Front, axis: Axis, value: float) -> str:
    return words.money(round(value), found.problem.purse.digits) if axis.unit == "money" else f"{value:.1f}"
