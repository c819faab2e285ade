"""`regrip what-if values`: plan again with other values."""

from __future__ import annotations

import click

from cli.commands import names
from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, BadInput
from cli.files.desk import Desk, open_desk
from cli.json_out import vary as json_vary
from cli.progress import working
from cli.terminal.screen import console
from cli.terminal.what_if import show_sweep, show_varied
from solver.assess.assessment import Status
from solver.assess.problem import Least
from solver.case.overrides import BadSetting, Setting, Span, read_setting
from solver.choose.plan import Answer
from solver.choose.search import Options
from solver.explore.what_if import sweep, vary


@click.command()
@case_argument
@catalogue_option
@click.option(
    "--set",
    "-s",
    "texts",
    multiple=True,
    required=True,
    metavar="PATH=VALUE",
    shell_complete=names.values,
    help="A value at a path of the case file; LOW..HIGH/STEP (and `+- ERROR`) for a range; again for more.",
)
@least_option
@time_option
@json_option
def command(
    case: str, overlays: tuple[str, ...], texts: tuple[str, ...], least: Least, time_limit: float, as_json: bool
) -> int:
    """What if: plan CASE again with other values and show only what changes.

    Over a range the plan is made at each step, and the values where it flips are searched to 0.0001 (money to its
    cents, whole numbers to one). A flip there and back between two steps is not seen. The time limit is for each
    plan.

    \b
    regrip what-if values case.yaml --set segments.B.width_mm=4.0
    regrip what-if values case.yaml --set denture.settling_mm=0.2 --set money.cap=600
    regrip what-if values case.yaml --set segments.A.undercut_mm=0..0.6/0.1
    """
    desk, how = open_desk(case, overlays), Options(time_limit_s=time_limit, least=least)
    try:
        asked = [read_setting(text) for text in texts]
        settings = [one for one in asked if isinstance(one, Setting)]
        spans = [one for one in asked if isinstance(one, Span)]
        if len(spans) > 1:
            raise BadInput("more than one range", "give one range, and single values for the rest")
        if spans:
            return _swept(desk, settings, spans[0], how, as_json=as_json)
        return _varied(desk, settings, how, as_json=as_json)
    except BadSetting as error:
        raise BadInput(f"--set '{error.text}': {error.problem}", error.advice) from None


def _varied(desk: Desk, settings: list[Setting], how: Options, *, as_json: bool) -> int:
    with working("planning twice"):
        found = vary(desk.document, settings, desk.catalogue, how)
    if as_json:
        say_json("values", json_vary.varied(found), desk.case.money.currency)
    else:
        show_varied(console(), found, [setting.text for setting in settings])
    return _code([found.after])


def _swept(desk: Desk, settings: list[Setting], span: Span, how: Options, *, as_json: bool) -> int:
    with working("planning along the range"):
        found = sweep(desk.document, settings, span, desk.catalogue, how)
    if as_json:
        say_json("values-range", json_vary.swept(found), desk.case.money.currency)
    else:
        show_sweep(console(), found)
    return _code([point.answer for point in found.points])


def _code(answers: list[Answer]) -> int:
    """Fits where any of the plans does."""
    statuses = {answer.status for answer in answers}
    if Status.UNDECIDED in statuses:
        return UNDECIDED
    return FITS if statuses & {Status.FITS, Status.FITS_IF} else DOES_NOT_FIT
