"""`regrip why`: what stands for and against attachments: one at a site, all of a site, or all of the case."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import click

from cli.commands import names
from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, BadInput
from cli.files.desk import Desk, open_desk
from cli.json_out import whole
from cli.progress import searched, working
from cli.terminal.comparison import show_against, show_sites, undecided
from cli.terminal.needs import show_why
from cli.terminal.screen import console, lines
from solver.assess.problem import Least
from solver.choose.plan import Answer
from solver.choose.search import Options
from solver.explain.comparison import Comparison, Fate, SiteWhy, WhyNot
from solver.explain.needs import Why, why
from solver.fit.bench import NoSuchSite
from solver.fit.needs import Verdict
from solver.fit.proposal import BadPut, Put, read_put


@click.command()
@case_argument
@click.argument("site", required=False, shell_complete=names.sites)
@click.argument("attachment", required=False, shell_complete=names.parts)
@catalogue_option
@click.option("--all", "every_reason", is_flag=True, help="Show every reason why something is ruled out.")
@least_option
@time_option
@json_option
def command(
    case: str,
    site: str | None,
    attachment: str | None,
    overlays: tuple[str, ...],
    every_reason: bool,
    least: Least,
    time_limit: float,
    as_json: bool,
) -> int:
    """Why ATTACHMENT is or is not at SITE in the plan of CASE: every need, and what the plan would cost with it.

    Without ATTACHMENT all that the catalogue has for the site, without SITE all sites: in the plan, so much more,
    against these rules, or ruled out. Ctrl-C ends the comparison and shows what is done.

    \b
    regrip why docs/examples/lower-three-supports.yaml A stud-thread-medium
    regrip why case.yaml A "clip-round-metal-5 x2"
    regrip why case.yaml A
    regrip why case.yaml
    """
    desk, how = open_desk(case, overlays), Options(time_limit_s=time_limit, least=least)
    try:
        if site is not None and attachment is not None:
            return _one(desk, site, attachment, how, as_json=as_json)
        return _many(desk, site, how, every_reason=every_reason, as_json=as_json)
    except (BadPut, NoSuchSite) as error:
        raise BadInput(error.problem, error.advice) from None


def _one(desk: Desk, site: str, attachment: str, how: Options, *, as_json: bool) -> int:
    put = read_put(attachment)
    found = why(desk.case, desk.catalogue, site, put)
    compared: list[tuple[Answer, WhyNot]] = []
    searched("comparing with the plan", _against(desk, site, put, how, compared))
    if as_json:
        answer, entry = compared[0] if compared else (None, None)
        say_json("why", whole.reasons(found, answer, entry), desk.case.money.currency)
    else:
        page = console()
        show_why(page, found)
        for answer, entry in compared:
            show_against(page, answer, entry)
        if not compared:
            lines(page, ["Stopped before it was compared with the plan."])
    return _code(found, compared[0][1]) if compared else UNDECIDED


def _against(desk: Desk, site: str, put: Put, how: Options, compared: list[tuple[Answer, WhyNot]]) -> Iterator[str]:
    yield "the plan"
    comparison = Comparison(desk.case, desk.catalogue, how)
    yield "the plan with it"
    compared.append((comparison.answer, comparison.put(site, put)))


def _many(desk: Desk, site: str | None, how: Options, *, every_reason: bool, as_json: bool) -> int:
    with working("planning"):
        comparison = Comparison(desk.case, desk.catalogue, how)
    wanted = comparison.problem.site_ids if site is None else (site,)
    sites: list[SiteWhy] = []
    searched("comparing with the plan", _site_by_site(comparison, wanted, sites))
    left = wanted[len(sites) :]
    late = any(entry.fate is Fate.UNDECIDED for entry in _entries(sites))
    if as_json:
        say_json("why-sites", whole.compared(comparison.answer, sites, left), desk.case.money.currency)
    else:
        page = console()
        show_sites(page, comparison.answer, sites, every_reason=every_reason)
        if late:
            undecided(page)
        if left:
            lines(page, [f"Stopped before these were compared: {', '.join(left)}."])
    return UNDECIDED if late or left else FITS


def _site_by_site(comparison: Comparison, wanted: Sequence[str], sites: list[SiteWhy]) -> Iterator[str]:
    for site in wanted:
        yield site
        sites.append(comparison.site(site))


def _entries(sites: Sequence[SiteWhy]) -> list[WhyNot]:
    return [entry for site in sites for entry in (*site.entries, site.otherwise) if entry]


def _code(found: Why, entry: WhyNot) -> int:
    """Fits where it can be used as it is and a plan with it keeps every rule."""
    if entry.fate is Fate.UNDECIDED:
        return UNDECIDED
    usable = found.candidate.verdict <= Verdict.ASK and not found.closed and not found.binds
    return FITS if usable and entry.fate in (Fate.IN_PLAN, Fate.DEARER) else DOES_NOT_FIT
