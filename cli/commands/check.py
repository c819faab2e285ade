"""`regrip check`: judge a mix that somebody proposes."""

from __future__ import annotations

import click

from cli.commands.parameters import case_argument, catalogue_option, json_option, put_option
from cli.commands.say import say_json
from cli.exit import BadInput
from cli.files.desk import open_desk
from cli.files.proposal import checked, proposed, put_by_hand
from cli.json_out import answer as json_answer
from cli.status import exit_code
from cli.terminal.check import show_check
from cli.terminal.first_screen import show_first_screen
from cli.terminal.screen import console
from cli.wording.check_screen import CheckScreen
from cli.wording.numbers import Figures


@click.command()
@case_argument
@catalogue_option
@put_option
@click.option("--full", is_flag=True, help="Everything that was worked out, with all tables.")
@json_option
def command(case: str, overlays: tuple[str, ...], puts: tuple[str, ...], full: bool, as_json: bool) -> int:
    """Check the mix in CASE (its `mix:` lines), or the one given with --put: does it fit, move, hold, at what cost?

    \b
    regrip check docs/examples/hinge-against-resilience.yaml
    regrip check case.yaml --full
    regrip check case.yaml --put A=clip-round-metal-5x2 --put L=ball-ring-2.25
    """
    desk = open_desk(case, overlays)
    mix = put_by_hand(puts) if puts else proposed(desk)
    if not mix:
        raise BadInput("no mix to check", "add `mix:` to the case or give `--put SITE=ATTACHMENT`")
    found = checked(desk, mix)
    if as_json:
        say_json("check", json_answer.checked(found), desk.case.money.currency)
    elif full:
        show_check(console(), found)
    else:
        show_first_screen(console(), CheckScreen(found, Figures.of(desk.case.locale)))
    return exit_code(found.status)
