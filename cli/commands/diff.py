"""`regrip catalogue diff`: two catalogues compared, and the plans that differ between them."""

from __future__ import annotations

import click

from catalogue.difference import difference
from catalogue.models import Catalogue
from cli.commands.parameters import json_option, only_catalogues_given, time_option
from cli.commands.say import say_json
from cli.exit import FITS, UNDECIDED, BadInput
from cli.files.desk import open_desk
from cli.files.reading import catalogue_of
from cli.json_out import difference as json_difference
from cli.progress import working
from cli.terminal.difference import show_cases, show_difference
from cli.terminal.screen import console
from solver.assess.assessment import Status
from solver.choose.search import Options
from solver.explore.replan import is_altered, replanned
from solver.explore.what_if import Varied

STARTER = "starter"
"""Stands for the starter catalogue with nothing laid over it."""


@click.command(short_help="what differs between two files, and which plans it alters")
@click.argument("before", metavar="A")
@click.argument("after", metavar="B")
@click.option("--cases", "with_cases", is_flag=True, help="Plan the case files that follow under both.")
@click.argument("cases", nargs=-1, metavar="[CASES]...", type=click.Path(path_type=str))
@only_catalogues_given
@time_option
@json_option
def command(
    before: str,
    after: str,
    with_cases: bool,
    cases: tuple[str, ...],
    overlays: tuple[str, ...],
    time_limit: float,
    as_json: bool,
) -> int:
    """Compare two catalogues, A before and B after: entries added and gone, every figure changed, with its source.

    Each is a file laid over the starter catalogue, or the word `starter` for that one alone; `--catalogue` files lie
    under both. The exit code is 0 whatever differs.

    \b
    regrip catalogue diff starter our.yaml
    regrip catalogue diff old.yaml new.yaml --json
    regrip catalogue diff old.yaml new.yaml --cases cases/*.yaml
    """
    _check_cases(cases, with_cases=with_cases)
    laid = [(*overlays, *(() if name == STARTER else (name,))) for name in (before, after)]
    old, new = (catalogue_of(files) for files in laid)
    found = difference(old, new)
    with working("planning under both"):
        planned = {case: _replanned(case, laid, (old, new), Options(time_limit_s=time_limit)) for case in cases}
    if as_json:
        answer = {"status": "compared"} | json_difference.difference(found)
        if with_cases:
            altered = {name: is_altered(both) for name, both in planned.items()}
            answer["cases"] = json_difference.cases(planned, altered)
        say_json("catalogue-diff", answer)
    else:
        show_difference(console(), found)
        if with_cases:
            show_cases(console(), planned)
    return UNDECIDED if any(_open(both) for both in planned.values()) else FITS


def _check_cases(cases: tuple[str, ...], *, with_cases: bool) -> None:
    if cases and not with_cases:
        raise BadInput("more than two catalogues are named", "write `--cases` before the case files")
    if with_cases and not cases:
        raise BadInput("no case is named", "name case files after `--cases`")
    if len(set(cases)) < len(cases):
        raise BadInput("a case is given twice", "name every case once")


def _replanned(
    case: str, laid: list[tuple[str, ...]], catalogues: tuple[Catalogue, Catalogue], how: Options
) -> Varied:
    """The case under both; read with each so that a currency it cannot pay in is refused at its place."""
    desk, _ = (open_desk(case, files) for files in laid)
    return replanned(desk.case, *catalogues, how)


def _open(both: Varied) -> bool:
    return Status.UNDECIDED in (both.before.status, both.after.status)
