"""`regrip what-if ways`: keep the bar, single attachments, a new bar or none, side by side."""

from __future__ import annotations

import click

from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from cli.files.desk import open_desk
from cli.json_out import strategy as json_strategy
from cli.terminal.screen import console
from cli.terminal.strategies import show_strategies
from solver.assess.problem import Least, problem_of
from solver.choose.search import Options
from solver.explore.strategies import Standing, strategies


@click.command()
@case_argument
@catalogue_option
@least_option
@time_option
@json_option
def command(case: str, overlays: tuple[str, ...], least: Least, time_limit: float, as_json: bool) -> int:
    """The ways out of CASE side by side: keep the bar, take it off, make a new one, or go without attachments.

    Keeping the bar and taking it off are planned, each at least cost (--least says which); a new bar and no
    attachment are only priced. What is not open is shown with what it would need.

    \b
    regrip what-if ways docs/examples/bar-off.yaml
    regrip what-if ways case.yaml --json
    """
    desk = open_desk(case, overlays)
    problem = problem_of(desk.case, desk.catalogue)
    found = strategies(problem, Options(time_limit_s=time_limit, least=least))
    if as_json:
        whole = {"strategies": json_strategy.strategies(problem, found)}
        say_json("ways", whole, desk.case.money.currency)
    else:
        show_strategies(console(), problem, found)
    standings = {each.standing for each in found}
    if Standing.UNDECIDED in standings:
        return UNDECIDED
    return FITS if Standing.OPEN in standings else DOES_NOT_FIT
