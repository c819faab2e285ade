"""`regrip plan`: the cheapest mix that fits, moves and holds."""

from __future__ import annotations

import json

import click

from cli import json_answer, json_strategy
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from cli.files import open_desk
from cli.parameters import case_argument, catalogue_option, json_option, time_option
from cli.progress import working
from cli.text.answer import show_answer
from cli.text.page import console
from solver.choose import Options
from solver.mechanics import Mechanics
from solver.plan import Status, plan
from solver.ranking import Least
from solver.ruled_out import ruled_out
from solver.strategy import strategies


@click.command()
@case_argument
@catalogue_option
@click.option("--plans", type=click.IntRange(1, 20), default=1, show_default=True, help="How many best plans.")
@click.option("--all", "every_reason", is_flag=True, help="Show every reason why something is ruled out.")
@click.option(
    "--least",
    type=click.Choice(["now", "years"]),
    default="now",
    show_default=True,
    help="Which cost is made least: that of fitting, or that over the years of the case.",
)
@time_option
@json_option
def command(
    case: str,
    overlays: tuple[str, ...],
    plans: int,
    every_reason: bool,
    least: Least,
    time_limit: float,
    as_json: bool,
) -> int:
    """Plan CASE: per site of the bar the attachment that fits at least cost, proved, with every option explained.

    \b
    regrip plan docs/examples/lower-three-supports.yaml
    regrip plan case.yaml --plans 3
    regrip plan case.yaml --least years
    regrip plan case.yaml --catalogue our-prices.yaml --json
    """
    desk = open_desk(case, overlays)
    with working("planning"):
        found = plan(desk.case, desk.catalogue, Options(time_limit_s=time_limit, plans=plans, least=least))
        out = ruled_out(found.problem, Mechanics(found.problem))
        ways = strategies(found.problem, Options(time_limit_s=time_limit, least=least))
    if as_json:
        whole = json_answer.answer(found, out) | {"strategies": json_strategy.strategies(found.problem, ways)}
        click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
    else:
        show_answer(console(), found, out, ways, every_reason=every_reason)
    if found.status is Status.UNDECIDED:
        return UNDECIDED
    return FITS if found.status in (Status.FITS, Status.FITS_IF) else DOES_NOT_FIT
