"""A forecast on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, table
from solver.buying.forecast import PartForecast


def show_forecast(
    page: Console, found: Sequence[PartForecast], months: int, service: float, runs: int, *, invented: bool
) -> None:
    """Each part with its mean, spread, level and what is missing to it."""
    time = f"{months} month" + ("" if months == 1 else "s")
    page.print(
        Text(f"Parts for {time}", style="bold") + Text(f": chance of not running out {service:.1%}", style="not bold")
    )
    columns = ("part", ">mean", ">spread", ">stock target", ">on hand", ">buy", ">runs out if you buy nothing")
    table(page, columns, (_row(row) for row in found))
    bullets(page, [f"Simulated {runs:,} times; spread is one standard deviation; every part is judged by itself."])
    if invented:
        bullets(page, ["The outlook is invented."])


def _row(row: PartForecast) -> tuple[str, ...]:
    counts = (row.level, row.on_hand, row.to_buy)
    return row.part, f"{row.mean:.1f}", f"{row.deviation:.1f}", *map(str, counts), f"{row.runs_out:.0%}"
