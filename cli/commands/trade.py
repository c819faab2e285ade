"""`regrip what-if trade-off`: the front between two respects, such as cost and hold."""

from __future__ import annotations

import difflib
from pathlib import Path

import click

from cli.commands.parameters import case_argument, catalogue_option, force_option, json_option, time_option
from cli.commands.say import say_json
from cli.draw.charts import draw_front, picture_format
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, BadInput
from cli.files.desk import open_desk
from cli.files.own import may_write, write_marked
from cli.json_out import tradeoff as json_front
from cli.progress import working
from cli.terminal.screen import console
from cli.terminal.tradeoff import show_front
from solver.choose.goals import Axis
from solver.choose.search import Options
from solver.explore.tradeoff import PAIRS, front


@click.command()
@case_argument
@catalogue_option
@click.option(
    "--between", default="cost,hold", show_default=True, metavar="ONE,OTHER", help=f"One of: {'; '.join(PAIRS)}."
)
@click.option("--output", "-o", type=click.Path(path_type=Path), help="Draw the front into this .svg or .png file.")
@force_option
@click.option("--least", hidden=True, help="Refused: a trade-off makes no cost least by itself.")
@time_option
@json_option
def command(
    case: str,
    overlays: tuple[str, ...],
    between: str,
    output: Path | None,
    force: bool,
    least: str | None,
    time_limit: float,
    as_json: bool,
) -> int:
    """Every mix of CASE worth choosing between two respects.

    `cost,hold`: cost of fitting (high end) against the sum of retentions (low end). `cost,years`: cost of fitting
    against cost over the years of the case, with renewals and visits (high ends).

    All mixes keep every rule. A chart needs the extra `charts` (matplotlib).

    \b
    regrip what-if trade-off case.yaml
    regrip what-if trade-off case.yaml --between cost,years -o front.svg
    """
    if least is not None:
        raise BadInput("a trade-off makes no cost least by itself", "weigh both costs with `--between cost,years`")
    axes, format_ = _axes(between), picture_format(output) if output else ""
    if output is not None:
        may_write(output, force=force)
    desk = open_desk(case, overlays)
    with working("looking for what is worth choosing"):
        found = front(desk.case, desk.catalogue, axes, Options(time_limit_s=time_limit))
    if output is not None and found.points:
        write_marked(output, draw_front(found, format_))
    if as_json:
        say_json("trade-off", json_front.front(found), desk.case.money.currency)
    else:
        show_front(console(), found)
    if not found.complete:
        return UNDECIDED
    return FITS if found.points else DOES_NOT_FIT


def _axes(between: str) -> tuple[Axis, Axis]:
    parts = [part.strip() for part in between.split(",")]
    asked = ",".join(parts)
    for order in (asked, ",".join(reversed(parts))):
        if order in PAIRS:
            return PAIRS[order]
    close = difflib.get_close_matches(asked, PAIRS, n=1)
    advice = f"did you mean `{close[0]}`?" if close else f"known: {'; '.join(PAIRS)}"
    raise BadInput(f"'{between}' is no trade-off", advice)
