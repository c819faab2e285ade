"""`regrip stock forecast`: parts that will be used, and how many to have."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from pathlib import Path

import click

from cli.commands.parameters import catalogue_option, json_option
from cli.commands.say import say_json
from cli.exit import FITS, BadInput
from cli.files.file_kinds import OUTLOOK, STOCK
from cli.files.reading import catalogue_of, read_as
from cli.terminal.forecast import show_forecast
from cli.terminal.screen import console
from solver.buying.forecast import forecast
from solver.buying.newsvendor import critical_ratio
from solver.buying.outlook import read_outlook
from solver.buying.stock import Stock, read_stock


@click.command()
@click.argument("outlook", type=click.Path(path_type=Path))
@catalogue_option
@click.option("--months", type=click.IntRange(1, 120), default=3, show_default=True, help="How far ahead.")
@click.option("--service", default="95%", show_default=True, help="How often the stock of a part is to last.")
@click.option("--short", type=float, help="Instead of --service: what a missing piece costs; with --over.")
@click.option("--over", type=float, help="What a piece that is left costs, in the same money.")
@click.option("--stock", type=click.Path(path_type=Path), help="What is on hand.")
@click.option(
    "--runs", type=click.IntRange(100, 1_000_000), default=20_000, show_default=True, help="Simulated runs."
)
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same answer.")
@json_option
def command(
    outlook: Path,
    overlays: tuple[str, ...],
    months: int,
    service: str,
    short: float | None,
    over: float | None,
    stock: Path | None,
    runs: int,
    seed: int,
    as_json: bool,
) -> int:
    """How many pieces of each part will be used by the practice of OUTLOOK, and how many to have.

    OUTLOOK is a YAML file with `cases_per_month` and a `mix` of kinds of case (`share`, `parts`), or a `history` of
    months. With --short and --over the service is the critical ratio short / (short + over).

    \b
    regrip stock forecast outlook.yaml --months 3 --service 95%
    regrip stock forecast outlook.yaml --short 40 --over 5 --stock stock.yaml
    """
    catalogue = catalogue_of(overlays)
    expected = read_outlook(read_as(OUTLOOK, outlook), catalogue)
    shelf = read_stock(read_as(STOCK, stock), catalogue) if stock else Stock()
    on_hand = {part: entry.usable(date.today()) for part, entry in shelf.parts.items()}
    wanted = _service(service, short, over)
    found = forecast(expected, months, wanted, on_hand, runs=runs, seed=seed)
    if as_json:
        rows = [{**asdict(row), "to_buy": row.to_buy} for row in found]
        whole = {"months": months, "service": wanted, "runs": runs, "seed": seed, "parts": rows}
        say_json("forecast", whole)
    else:
        show_forecast(console(), found, months, wanted, runs, invented=expected.invented)
    return FITS


def _service(text: str, short: float | None, over: float | None) -> float:
    if (short is None) != (over is None):
        raise BadInput("--short and --over go together", "give both, or --service")
    if short is not None and over is not None:
        try:
            return critical_ratio(short, over)
        except ValueError as error:
            raise BadInput(str(error), "give what one piece costs in each case") from None
    number, has_sign = text.strip().removesuffix("%"), "%" in text
    try:
        percent = float(number)
    except ValueError:
        percent = 0.0
    if 0 < percent <= 1 and not has_sign:
        meant = f"`{100 * percent:g}%` or `{percent:g}%`" if percent < 1 else "`1%`, or less than 100%"
        raise BadInput(f"'{text}' could be {100 * percent:g}% or {percent:g}%", f"write {meant}")
    if not 0 < percent < 100:
        raise BadInput(f"'{text}' is no service level", "write a percentage between 0 and 100 such as 95%")
    return percent / 100
