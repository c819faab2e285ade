"""`regrip why`: every need of an attachment at a site, and what would change it."""

from __future__ import annotations

import json

import click

from cli import json_answer
from cli.exit import DOES_NOT_FIT, FITS, BadInput
from cli.files import open_desk
from cli.parameters import case_argument, catalogue_option, json_option
from cli.text.page import console
from cli.text.why import show_why
from solver.fit import NoSuchSite
from solver.judge import Verdict
from solver.put import BadPut, read_put
from solver.why import why


@click.command()
@case_argument
@click.argument("site")
@click.argument("attachment")
@catalogue_option
@json_option
def command(case: str, site: str, attachment: str, overlays: tuple[str, ...], as_json: bool) -> int:
    """Why ATTACHMENT can or cannot be used at SITE of CASE: every need, have, want and source.

    \b
    regrip why docs/examples/lower-three-supports.yaml A stud-threaded
    regrip why case.yaml A "clip-round-metal-5 x2"
    """
    desk = open_desk(case, overlays)
    try:
        found = why(desk.case, desk.catalogue, site, read_put(attachment))
    except (BadPut, NoSuchSite) as error:
        raise BadInput(error.problem, error.advice) from None
    if as_json:
        click.echo(json.dumps(json_answer.reasons(found), indent=2, ensure_ascii=False))
    else:
        show_why(console(), found)
    usable = found.candidate.verdict <= Verdict.ASK and not found.closed and not found.binds
    return FITS if usable else DOES_NOT_FIT
