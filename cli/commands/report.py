"""`regrip report`: the case report, the work order and the patient page."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from cli.commands.draw import DRAWINGS, write_drawing
from cli.commands.parameters import (
    case_argument,
    catalogue_option,
    force_option,
    least_option,
    put_option,
    time_option,
)
from cli.commands.sheet_parameters import locale_option, output_option, redact_option, suffix_of
from cli.exit import BadInput
from cli.files.desk import Desk, open_desk
from cli.files.own import may_write, write_marked
from cli.files.proposal import checked, proposed, put_by_hand
from cli.progress import working
from cli.report.page import PAPERS, html, pdf
from cli.report.sheet import SECTIONS, Origin, Sheet, origin_of, sheet_by_hand, sheet_of
from cli.status import exit_code
from cli.wording.numbers import Figures, figures_of
from solver.assess.problem import Least
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explore.sensitivity import sensitivity
from solver.explore.strategies import strategies


@click.command()
@case_argument
@output_option
@click.option("--only", metavar="LIST", help=f"Some sections only, with commas between: {', '.join(SECTIONS)}.")
@click.option(
    "--plans", type=click.IntRange(1, 6), default=1, show_default=True, help="Set so many plans side by side."
)
@click.option(
    "--sensitivity", "varied", is_flag=True, help="Say which figures from memory or invented the choice hangs on."
)
@put_option
@click.option(
    "--proposed", "as_proposed", is_flag=True, help="Report the mix in the `mix:` lines of CASE, not the plan."
)
@click.option("--paper", type=click.Choice(PAPERS), default=PAPERS[0], show_default=True, help="Size of the page.")
@force_option
@redact_option
@locale_option
@catalogue_option
@least_option
@time_option
def command(
    case: str,
    output: Path,
    only: str | None,
    plans: int,
    varied: bool,
    puts: tuple[str, ...],
    as_proposed: bool,
    paper: str,
    force: bool,
    redact: bool,
    locale: str | None,
    overlays: tuple[str, ...],
    least: Least,
    time_limit: float,
) -> int:
    """Write CASE as a sheet to hand on: the report, the work order for the bench, a page for the patient, a drawing.

    The ending of FILE says in which form: .html and .pdf hold the sections, .svg and .png the bar to scale, from
    above, from the side and as it moves. The sheet is about the plan, or about the mix that is put with --put or
    --proposed, judged as `regrip check` does.

    \b
    regrip report docs/examples/lower-three-supports.yaml -o case.pdf
    regrip report case.yaml --only work --paper Letter -o order.pdf
    regrip report case.yaml --plans 3 --redact -o case.html
    regrip report case.yaml --put A=clip-round-metal-5x2 -o case.html
    regrip report case.yaml -o drawing.svg
    """
    suffix = suffix_of(output, (".html", ".pdf", *DRAWINGS))
    is_drawn = suffix in DRAWINGS
    if is_drawn and (only or plans > 1 or varied):
        raise BadInput(
            "a drawing has no sections", "leave out --only, --plans and --sensitivity, or write .html or .pdf"
        )
    may_write(output, force=force)
    sections = [] if is_drawn else _sections(only)
    desk = open_desk(case, overlays)
    figures = figures_of(locale, desk.case)
    origin = origin_of(desk, Path(desk.document.path).name, desk.raw, datetime.date.today(), redacted=redact)
    how = Options(time_limit_s=time_limit, plans=plans, least=least)
    if puts or as_proposed:
        if how.plans > 1 or how.least != "now" or varied:
            raise BadInput(
                "nothing is chosen where a mix is put",
                "leave out --plans, --least and --sensitivity, or --put and --proposed",
            )
        sheet = _by_hand(desk, puts, origin, figures)
    else:
        sheet = _planned(desk, origin, figures, how, compared="case" in sections, varied=varied)
    if is_drawn:
        write_drawing(output, sheet.problem, sheet.best, figures, redacted=redact)
    else:
        page = html(sheet, sections, paper)
        write_marked(output, pdf(page) if suffix == ".pdf" else page)
    return exit_code(sheet.found.status)


def _planned(desk: Desk, origin: Origin, figures: Figures, how: Options, *, compared: bool, varied: bool) -> Sheet:
    with working("planning"):
        found = plan(desk.case, desk.catalogue, how)
        ways = strategies(found.problem, replace(how, plans=1)) if compared else ()
        hangs = sensitivity(found, how) if compared and varied else None
    return sheet_of(found, ways, origin, figures, hangs)


def _by_hand(desk: Desk, puts: Sequence[str], origin: Origin, figures: Figures) -> Sheet:
    mix = put_by_hand(puts) if puts else proposed(desk)
    if not mix:
        raise BadInput("no mix to report", "add `mix:` to the case or give `--put SITE=ATTACHMENT`")
    return sheet_by_hand(checked(desk, mix), origin, figures)


def _sections(only: str | None) -> list[str]:
    """The chosen sections in the order of the sheet."""
    if only is None:
        return list(SECTIONS)
    chosen = [name.strip() for name in only.split(",")]
    if unknown := [name for name in chosen if name not in SECTIONS]:
        raise BadInput(f"there is no section '{unknown[0]}'", f"known: {', '.join(SECTIONS)}")
    return [name for name in SECTIONS if name in chosen]
