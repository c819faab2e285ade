"""`regrip stock order`: what to buy for several cases, and booking it when it comes in."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

import click

from catalogue.models import Catalogue
from catalogue.sheet import Finding, refuse
from cli.commands.parameters import catalogue_option, echo_json, force_option, json_option, time_option
from cli.commands.receive import book
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, BadInput
from cli.files.desk import Desk, open_desk, write_whole
from cli.files.file_kinds import STOCK, SUPPLIERS
from cli.files.own import begins_with, may_write, wrote
from cli.files.reading import catalogue_of, read_as
from cli.progress import working
from cli.terminal.order import CSV_COLUMNS, order_csv, reasons, show_order
from cli.terminal.screen import console
from solver.buying.cases import Planned, order_for
from solver.buying.order_file import OrderFile
from solver.buying.stock import Stock, read_stock
from solver.buying.suppliers import Suppliers, read_suppliers
from solver.choose.plan import plan
from solver.choose.search import Options

FILE = click.Path(path_type=Path)


@click.command()
@click.argument("cases", nargs=-1, type=click.Path(path_type=str))
@catalogue_option
@click.option("--stock", type=FILE, help="What is on hand, and what of it is reserve.")
@click.option("--suppliers", type=FILE, help="Who sells what; left out, the packs and prices of the catalogue stand.")
@click.option("--joint", is_flag=True, help="Also take other plans of a case where the common order gets cheaper.")
@click.option(
    "--tolerance",
    default="5%",
    show_default=True,
    help="With --joint: how much dearer than its best such a plan may be.",
)
@click.option(
    "--among",
    type=click.IntRange(2, 40),
    default=8,
    show_default=True,
    help="With --joint: best plans looked at a case.",
)
@click.option(
    "--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="Day for which stock is judged; today if left out."
)
@click.option("--csv", "csv_path", type=FILE, help="Write the lines of the order into this file too.")
@force_option
@click.option("--receive", "order_path", type=FILE, hidden=True, help="Now `regrip stock receive`.")
@click.option("--journal", type=FILE, hidden=True, help="Now `regrip stock receive --journal`.")
@time_option
@json_option
def command(
    cases: tuple[str, ...],
    overlays: tuple[str, ...],
    stock: Path | None,
    suppliers: Path | None,
    joint: bool,
    tolerance: str,
    among: int,
    day: date | None,
    csv_path: Path | None,
    force: bool,
    order_path: Path | None,
    journal: Path | None,
    time_limit: float,
    as_json: bool,
) -> int:
    """Order the parts for the best plans of CASES at least cost, after stock, proved, and say which case pays what.

    A case that fits only if something is given up is left out, and the exit code is 1. The high end of prices
    decides. Order numbers come from the content: the same order has the same number.

    \b
    regrip stock order a.yaml b.yaml
    regrip stock order a.yaml b.yaml --stock stock.yaml --suppliers suppliers.yaml --joint
    regrip stock order a.yaml b.yaml --stock stock.yaml --json > order.json
    """
    on = _day(day)
    if order_path is not None:
        if stock is None or cases:
            raise BadInput("--receive books one order into one stock file", "give --stock FILE and no cases")
        return book(order_path, stock, journal, catalogue_of(overlays), on, as_json=as_json)
    if not cases:
        raise BadInput("no case is given", "name one case file or more")
    if csv_path is not None:
        may_write(csv_path, force=force, is_ours=begins_with(",".join(CSV_COLUMNS)))
    if len(set(cases)) < len(cases):
        raise BadInput("a case is given twice", "name every case once")
    share, desks = _percent(tolerance), [open_desk(case, overlays) for case in cases]
    _same_money(desks)
    catalogue = desks[0].catalogue
    house = _suppliers(suppliers, catalogue, desks[0].case.money.currency)
    shelf = read_stock(read_as(STOCK, stock), catalogue) if stock else Stock()
    with working("planning and ordering"):
        how = Options(time_limit_s=time_limit, plans=among if joint else 1)
        named = zip(_names(cases), desks, strict=True)
        planned = [Planned(name, plan(desk.case, catalogue, how)) for name, desk in named]
        found = order_for(
            planned,
            catalogue,
            stock=shelf,
            suppliers=house,
            tolerance=share,
            on=on,
            time_limit_s=time_limit,
        )
    if found is None:
        said = "no order was found in the time given"
        if as_json:
            say_json("order", {"status": "undecided", "message": said})
        else:
            click.echo(f"{said}.")
        return UNDECIDED
    left_out = {case.name: reasons(case.answer) for case in planned if not case.ordered}
    return _tell(found.model_copy(update={"reasons": left_out}), csv_path, as_json=as_json)


def _tell(found: OrderFile, csv_path: Path | None, *, as_json: bool) -> int:
    if csv_path:
        write_whole(csv_path, order_csv(found))
        wrote(csv_path)
    if as_json:
        echo_json(found.model_dump(mode="json"))
    else:
        show_order(console(), found)
    if "undecided" in found.not_ordered.values() or found.proof.outcome != "optimal":
        return UNDECIDED
    return DOES_NOT_FIT if found.not_ordered else FITS


def _suppliers(path: Path | None, catalogue: Catalogue, currency: str) -> Suppliers | None:
    return read_suppliers(read_as(SUPPLIERS, path), catalogue, currency) if path else None


def _names(cases: Sequence[str]) -> list[str]:
    """Files without folder and suffix, where that tells them apart."""
    short = [Path(case).stem for case in cases]
    return short if len(set(short)) == len(short) else list(cases)


def _same_money(desks: Sequence[Desk]) -> None:
    """One order is paid in one currency, at one rate."""
    first = desks[0].case.money
    for desk in desks[1:]:
        money = desk.case.money
        if money.currency != first.currency:
            finding = Finding(f"{desks[0].document.path} pays in {first.currency}", "order for each currency apart")
            refuse(desk.document, {("money", "currency"): finding})
        if money.exchange != first.exchange:
            finding = Finding(f"{desks[0].document.path} has another rate", "give the cases of one order one rate")
            refuse(desk.document, {("money", "exchange"): finding})


def _percent(text: str) -> Fraction:
    if not re.fullmatch(r"\d{1,3}(\.\d{1,4})?\s*%?", text):
        raise BadInput(f"'{text}' is no tolerance", "write a percentage such as 5%")
    return Fraction(text.rstrip("% ")) / 100


def _day(given: date | None) -> date:
    return date.today() if given is None else date(given.year, given.month, given.day)
