"""`regrip catalogue`: is it sound, what is in it, what does one entry say; new prices and comparison."""

from __future__ import annotations

from typing import Any, get_args

import click

from catalogue.blocks import SourceKind
from catalogue.difference import Difference, difference
from catalogue.find import KINDS, MOTIONS, NoSuchEntry, Wanted, entries_of, entry_of
from catalogue.load import load_catalogue
from catalogue.quantities import SiteKind
from cli.commands import diff, prices
from cli.commands.parameters import catalogue_option, json_option, over_the_own
from cli.commands.say import say_json
from cli.exit import FITS, BadInput
from cli.files.reading import catalogue_of
from cli.json_out import catalogue as json_catalogue
from cli.terminal.catalogue import show_checked, show_entry, show_list
from cli.terminal.screen import console


def _ids(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[str]:
    """Entries of the starter catalogue, for the shell to complete."""
    return [entry.id for entry in entries_of(load_catalogue(), Wanted()) if entry.id.startswith(incomplete)]


@click.group()
def command() -> None:
    """The catalogue: check it with your own files, list it, show one entry, reprice it, compare two of them.

    \b
    regrip catalogue check our-prices.yaml
    regrip catalogue list --at segment --can-move down
    regrip catalogue show clip-round-metal-5
    regrip catalogue prices new.csv --catalogue our.yaml
    regrip catalogue diff old.yaml new.yaml --cases cases/*.yaml
    """


command.add_command(prices.command, "prices")
command.add_command(diff.command, "diff")


@command.command("check", short_help="sound or not, and what your files change")
@click.argument("files", nargs=-1, type=click.Path(path_type=str), callback=over_the_own)
@json_option
def check(files: tuple[str, ...], as_json: bool) -> int:
    """Check FILES, laid in order over the starter catalogue: sound or not, and what they change.

    \b
    regrip catalogue check
    regrip catalogue check our-parts.yaml our-prices.yaml
    """
    starter, whole = load_catalogue(), catalogue_of(files)
    changed = difference(starter, whole) if files else Difference()
    if as_json:
        say_json("catalogue-check", json_catalogue.checked(whole, changed))
    else:
        show_checked(console(), whole, files, changed)
    return FITS


@command.command("list", short_help="what can be bought or done, filtered")
@click.option("--kind", type=click.Choice(KINDS), help="Only this kind.")
@click.option("--at", type=click.Choice(get_args(SiteKind)), help="Only what goes on such a site.")
@click.option(
    "--can-move",
    "moves",
    multiple=True,
    type=click.Choice(MOTIONS),
    help="Only what moves so beyond the small play; again for more.",
)
@click.option("--metal", metavar="METAL", help="Only what holds this metal, e.g. nickel.")
@click.option(
    "--source-kind", type=click.Choice(get_args(SourceKind)), help="Only entries with a figure from such a source."
)
@catalogue_option
@json_option
def list_entries(overlays: tuple[str, ...], as_json: bool, **filters: Any) -> int:
    """List attachments and reworks, all or only those that the options ask for.

    \b
    regrip catalogue list --kind clip
    regrip catalogue list --at segment --can-move down --can-move hinge
    regrip catalogue list --source-kind invented --json
    """
    catalogue = catalogue_of(overlays)
    entries = entries_of(catalogue, Wanted(**filters))
    if as_json:
        say_json("catalogue-list", json_catalogue.listed(catalogue, entries))
    elif entries:
        show_list(console(), catalogue, entries)
    else:
        click.echo("regrip: no entry is like that; leave an option out", err=True)
    return FITS


@command.command("show", short_help="one entry: every figure and its source")
@click.argument("entry", metavar="ID", shell_complete=_ids)
@catalogue_option
@json_option
def show(entry: str, overlays: tuple[str, ...], as_json: bool) -> int:
    """Show the attachment or rework called ID: every figure, its source, and how the source is known.

    \b
    regrip catalogue show clip-round-metal-5
    regrip catalogue show clip-round-metal-5 --catalogue our-prices.yaml
    """
    catalogue = catalogue_of(overlays)
    try:
        found = entry_of(catalogue, entry)
    except NoSuchEntry as error:
        close = " or ".join(f"`{name}`" for name in error.close)
        advice = f"did you mean {close}?" if close else "`regrip catalogue list` names them all"
        raise BadInput(str(error), advice) from None
    if as_json:
        say_json("catalogue-entry", json_catalogue.shown(catalogue, found))
    else:
        show_entry(console(), catalogue, found)
    return FITS
