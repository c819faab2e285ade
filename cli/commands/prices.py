"""`regrip catalogue prices`: a supplier's price list put into a catalogue file of one's own."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from catalogue.difference import Difference
from cli.commands.parameters import catalogue_option, json_option
from cli.commands.say import say_json
from cli.exit import FITS
from cli.files.lock import alone
from cli.files.repricing import Repriced, repriced
from cli.json_out import difference as json_difference
from cli.terminal.difference import show_difference
from cli.terminal.screen import console

FILE = click.Path(path_type=Path)


@click.command(short_help="put a supplier's price list (CSV) into your file")
@click.argument("csv", type=FILE)
@catalogue_option
@click.option("--output", "-o", type=FILE, help="File to write; left out, the last --catalogue is changed.")
@click.option("--yes", "-y", is_flag=True, help="Write without asking.")
@click.option("--dry-run", is_flag=True, help="Only show what would change.")
@json_option
def command(
    csv: Path, overlays: tuple[str, ...], output: Path | None, yes: bool, dry_run: bool, as_json: bool
) -> int:
    """Put the prices of CSV into a catalogue file of your own; what changes is shown first.

    Comments and order of the file stay, and the starter catalogue is never edited.
    Columns: attachment, currency, and price or low and high; pieces, source and note may be left out. A row with
    pieces prices a pack of so many. Without --yes you are asked at a terminal, and elsewhere nothing is written.

    \b
    regrip catalogue prices new.csv -o our.yaml
    regrip catalogue prices new.csv --catalogue our.yaml --yes
    regrip catalogue prices new.csv --catalogue our.yaml --dry-run --json
    """
    if yes and dry_run:
        raise click.UsageError("give --yes or --dry-run, not both")
    ready = repriced(csv, overlays, output)
    with alone(ready.target) if yes else nullcontext():
        if yes and ready.is_overtaken:  # what another command has put in meanwhile stays in
            ready = repriced(csv, overlays, output)
        if not as_json:
            show_difference(console(), ready.found)
        status = _written(ready, wanted=yes, asks=not (dry_run or as_json))
    if as_json:
        answer = {"status": status, "file": str(ready.target)} | json_difference.difference(ready.found)
        say_json("catalogue-prices", answer)
    return FITS


def _written(ready: Repriced, *, wanted: bool, asks: bool) -> str:
    """Write, or not; says on stderr which. Where it is wanted, the command is alone with the file already."""
    if ready.found == Difference():
        click.echo(f"regrip: every price is as it was; {ready.target} is not written", err=True)
        return "unchanged"
    if wanted:
        ready.write()
    elif asks and _at_terminal() and click.confirm(f"Write this to {ready.target}?", err=True):
        with alone(ready.target):
            ready.write()
    else:
        click.echo("regrip: nothing is written; give `--yes` to write it", err=True)
        return "shown"
    click.echo(f"regrip: wrote {ready.target}", err=True)
    return "written"


def _at_terminal() -> bool:
    return sys.stdin.isatty()
