"""The chart of a summary: what is fitted, what it costs, what had to give, and what rules options out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cli.batch.summary import Summary
from cli.draw.charts import picture
from cli.wording.summary import rule
from solver.case.money import major

MOST_BARS = 12
SIZE_IN = (11.0, 8.0)


def draw_summary(found: Summary, costs: Sequence[int], format_: str) -> bytes:
    """Four panels; `costs` are those of the most frequent currency, minor units. Raises `BadInput`."""

    def plot(figure: Any) -> None:
        (fitted, money), (gives, closed) = figure.subplots(2, 2)
        _bars(fitted, "attachments of the plans", [(u.attachment, u.cases) for u in found.attachments], "cases")
        _bars(gives, "what had to give", [(rule(x.rule), x.cases) for x in found.lacks], "cases")
        _bars(closed, "what rules options out", [(rule(r.reason), r.options) for r in found.reasons], "options")
        _histogram(money, found, costs)

    return picture(plot, format_, SIZE_IN)


def _bars(axes: Any, title: str, counted: Sequence[tuple[str, int]], unit: str) -> None:
    """The most frequent at the top."""
    shown = counted[:MOST_BARS]
    axes.barh([name for name, _ in shown], [count for _, count in shown], color="0.45")
    axes.invert_yaxis()
    axes.set_title(title)
    axes.set_xlabel(unit)
    axes.spines[["top", "right"]].set_visible(False)


def _histogram(axes: Any, found: Summary, costs: Sequence[int]) -> None:
    axes.set_title("cost where nothing is given up, high end")
    axes.spines[["top", "right"]].set_visible(False)
    if costs:
        spread = found.costs[0]
        axes.hist([float(major(cost, spread.digits)) for cost in costs], bins="auto", color="0.45")
        axes.set_xlabel(spread.currency)
        axes.set_ylabel("cases")
