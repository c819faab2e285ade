"""The trade-off on the screen."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from cli.text import words
from cli.text.page import bullets, heading, table
from cli.text.words import mix
from solver.front import Axis, Front


def show_front(page: Console, found: Front) -> None:
    """Every point with what one step costs and wins, and the knee."""
    problem, (first, second) = found.problem, found.axes
    page.print(
        Text(problem.case.case, style="bold")
        + Text(f": {_title(first)} against {_title(second)}, {_proof(found)}", style="not bold")
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


def axis_label(found: Front, axis: Axis) -> str:
    """`cost, EUR`: an axis with its unit."""
    return f"{_title(axis)}, {found.problem.case.money.currency if axis.unit == 'money' else axis.unit}"


def _title(axis: Axis) -> str:
    return axis.title or axis.name


def _proof(found: Front) -> str:
    return "proved complete" if found.complete else "undecided in the time given, there may be more"


def _rows(found: Front) -> Iterator[tuple[str, str, str, str]]:
    for index, point in enumerate(found.points):
        first, second = (_value(found, a, v) for a, v in zip(found.axes, (point.first, point.second), strict=True))
        yield first, second, "knee" if index == found.knee else "", mix(point.plan.mix)


def _value(found: Front, axis: Axis, value: float) -> str:
    return words.money(round(value), found.problem.purse.digits) if axis.unit == "money" else f"{value:.1f}"
