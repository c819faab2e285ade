"""`regrip report`: the case report, the work order and the patient page."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from cli.exit import BadInput
from cli.files import open_desk, write_whole
from cli.parameters import case_argument, catalogue_option, time_option
from cli.progress import working
from cli.report.page import PAPERS, html, pdf
from cli.report.sheet import SECTIONS, origin_of, sheet_of
from cli.sheet_parameters import exit_code, figures_of, locale_option, output_option, redact_option, suffix_of
from solver.choose import Options
from solver.plan import plan
from solver.strategy import strategies


@click.command()
@case_argument
@output_option
@click.option("--only", metavar="LIST", help=f"Some sections only, with commas between: {', '.join(SECTIONS)}.")
@click.option(
    "--plans", type=click.IntRange(1, 6), default=1, show_default=True, help="Set so many plans side by side."
)
@click.option("--paper", type=click.Choice(PAPERS), default=PAPERS[0], show_default=True, help="Size of the page.")
@redact_option
@locale_option
@catalogue_option
@time_option
def command(
    case: str,
    output: Path,
    only: str | None,
    plans: int,
    paper: str,
    redact: bool,
    locale: str | None,
    overlays: tuple[str, ...],
    time_limit: float,
) -> int:
    """Write CASE as a sheet to hand on: the report, the work order for the bench, a page for the patient.

    \b
    regrip report docs/examples/lower-three-supports.yaml -o case.pdf
    regrip report case.yaml --only work --paper Letter -o order.pdf
    regrip report case.yaml --plans 3 --redact -o case.html
    """
    suffix = suffix_of(output, (".html", ".pdf"))
    sections = _sections(only)
    desk = open_desk(case, overlays)
    figures = figures_of(locale, desk.case)
    with working("planning"):
        found = plan(desk.case, desk.catalogue, Options(time_limit_s=time_limit, plans=plans))
        ways = strategies(found.problem, Options(time_limit_s=time_limit)) if "case" in sections else ()
    origin = origin_of(desk, Path(case).name, Path(case).read_bytes(), datetime.date.today(), redacted=redact)
    page = html(sheet_of(found, ways, origin, figures), sections, paper)
    write_whole(output, pdf(page) if suffix == ".pdf" else page)
    return exit_code(found.status)


def _sections(only: str | None) -> list[str]:
    """The chosen sections in the order of the sheet."""
    if only is None:
        return list(SECTIONS)
    chosen = [name.strip() for name in only.split(",")]
    if unknown := [name for name in chosen if name not in SECTIONS]:
        raise BadInput(f"there is no section '{unknown[0]}'", f"known: {', '.join(SECTIONS)}")
    return [name for name in SECTIONS if name in chosen]
