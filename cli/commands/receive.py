"""`regrip stock receive`: an order that came in, booked into the stock file."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from catalogue.models import Catalogue
from cli.commands.parameters import catalogue_option, json_option
from cli.commands.say import say_json
from cli.exit import FITS
from cli.files.reading import catalogue_of
from cli.files.stock_booking import journal_of, receive

FILE = click.Path(path_type=Path)


@click.command()
@click.argument("order", type=FILE)
@click.option("--stock", type=FILE, required=True, help="The stock file to book it into.")
@click.option("--journal", type=FILE, help="Journal to append to; beside the stock file if left out.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Day of receipt; today if left out.")
@catalogue_option
@json_option
def command(
    order: Path, stock: Path, journal: Path | None, day: datetime | None, overlays: tuple[str, ...], as_json: bool
) -> int:
    """Book ORDER, written by `regrip stock order --json`, as received into the stock file; once and whole.

    \b
    regrip stock order a.yaml b.yaml --stock stock.yaml --json > order.json
    regrip stock receive order.json --stock stock.yaml
    """
    on = date.today() if day is None else day.date()
    return book(order, stock, journal, catalogue_of(overlays), on, as_json=as_json)


def book(order: Path, stock: Path, journal: Path | None, catalogue: Catalogue, on: date, *, as_json: bool) -> int:
    """Book it and tell what came in and went out. Raises `InputError`, and `BadInput` where it was booked before."""
    line = receive(order, stock, journal or journal_of(stock), catalogue, on)
    if as_json:
        say_json("receipt", line)
        return FITS
    click.echo(f"Order {line['order']} received on {line['on']}.")
    for title, key in (("came in", "received"), ("taken from stock", "from_stock"), ("put into stock", "into_stock")):
        click.echo(f" {title}: " + (", ".join(f"{n} x {part}" for part, n in line[key].items()) or "nothing"))
    return FITS
