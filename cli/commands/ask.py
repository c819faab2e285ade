"""`regrip ask`: what to ask or measure next."""

from __future__ import annotations

import click

from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from cli.files.desk import open_desk
from cli.json_out import ask as json_ask
from cli.progress import working
from cli.terminal.questions import show_ask
from cli.terminal.screen import console
from solver.assess.problem import Least
from solver.choose.master import Outcome
from solver.choose.search import Options
from solver.explore.questions import ask


@click.command()
@case_argument
@catalogue_option
@least_option
@time_option
@json_option
def command(case: str, overlays: tuple[str, ...], least: Least, time_limit: float, as_json: bool) -> int:
    """What to ask or measure next in CASE: what plans cost that hang on fewer answers, and what each answer leads to.

    A measure within its error of a limit is a question too. A figure that stands once in the case, or that is not
    known along one bar, is one question. Each answer is planned anew with a good and with a bad value in the case.

    \b
    regrip ask docs/examples/unknown-undercut.yaml
    regrip ask case.yaml --json
    """
    desk = open_desk(case, overlays)
    with working("weighing the answers"):
        found = ask(desk.case, desk.catalogue, Options(time_limit_s=time_limit, least=least))
    if as_json:
        say_json("ask", json_ask.ask(found), desk.case.money.currency)
    else:
        show_ask(console(), found)
    if found.outcome is Outcome.UNDECIDED:
        return UNDECIDED
    return FITS if found.curve else DOES_NOT_FIT
