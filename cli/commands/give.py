"""`regrip what-if limits`: what would have to give, and why."""

from __future__ import annotations

import click

from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from cli.files.desk import open_desk
from cli.json_out import give as json_give
from cli.progress import searched
from cli.terminal.screen import console
from cli.terminal.waivers import show_give
from solver.assess.problem import Least
from solver.choose.search import Options
from solver.explain.waivers import MOST_RULES, Footing, Give

CODES = {Footing.FITS: FITS, Footing.GIVES: DOES_NOT_FIT, Footing.FIXED: DOES_NOT_FIT, Footing.OPEN: UNDECIDED}


@click.command()
@case_argument
@catalogue_option
@click.option(
    "--most",
    type=click.IntRange(min=1),
    default=MOST_RULES,
    show_default=True,
    metavar="N",
    help="List sets of at most so many rules.",
)
@least_option
@time_option
@json_option
def command(case: str, overlays: tuple[str, ...], most: int, least: Least, time_limit: float, as_json: bool) -> int:
    """What would have to give in CASE: every smallest set of rules to give up, with the plan and the price it opens.

    Where nothing fits, the smallest clash of rules that proves it is told with the lines of the case it comes from.
    Where a plan fits, plans that cost less are listed with what they would need. Ctrl-C ends the search and shows
    what was found.

    \b
    regrip what-if limits docs/examples/over-budget.yaml
    regrip what-if limits case.yaml --most 2 --json
    """
    desk = open_desk(case, overlays)
    found = Give(desk.case, desk.catalogue, Options(time_limit_s=time_limit, least=least), most)
    searched("looking for what would have to give", (f"{len(found.ways)} found; now {s}" for s in found.steps()))
    if as_json:
        say_json("limits", json_give.give(found, desk.document), desk.case.money.currency)
    else:
        show_give(console(), found, desk.document)
    return CODES[found.footing]
