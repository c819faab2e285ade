"""`regrip why`: what stands for and against attachments: one at a site, all of a site, or all of the case."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import click

from cli import json_answer, json_why_not
from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, BadInput
from cli.files import Desk, open_desk
from cli.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.progress import working
from cli.text.against import show_against, show_sites, undecided
from cli.text.page import console
from cli.text.why import show_why
from solver.choose import Options
from solver.fit import NoSuchSite
from solver.judge import Verdict
from solver.problem import Least
from solver.put import BadPut, read_put
from solver.why import Why, why
from solver.why_not import Comparison, Fate, SiteWhy, WhyNot


@click.command()
@case_argument
@click.argument("site", required=False)
@click.argument("attachment", required=False)
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
    against these rules, or ruled out.

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
    with working("comparing with the plan"):
        comparison = Comparison(desk.case, desk.catalogue, how)
        entry = comparison.put(site, put)
    if as_json:
        against = {"against_plan": json_why_not.why_not(comparison.answer, entry)}
        _print(json_answer.reasons(found) | against)
    else:
        page = console()
        show_why(page, found)
        show_against(page, comparison.answer, entry)
    return _code(found, entry)


def _many(desk: Desk, site: str | None, how: Options, *, every_reason: bool, as_json: bool) -> int:
    with working("comparing with the plan"):
        comparison = Comparison(desk.case, desk.catalogue, how)
        sites = comparison.sites() if site is None else (comparison.site(site),)
    late = any(entry.fate is Fate.UNDECIDED for entry in _entries(sites))
    if as_json:
        _print(json_why_not.sites(comparison.answer, sites))
    else:
        page = console()
        show_sites(page, comparison.answer, sites, every_reason=every_reason)
        if late:
            undecided(page)
    return UNDECIDED if late else FITS


def _entries(sites: Sequence[SiteWhy]) -> list[WhyNot]:
    return [entry for site in sites for entry in (*site.entries, site.otherwise) if entry]


def _code(found: Why, entry: WhyNot) -> int:
    """Fits where it can be used as it is and a plan with it keeps every rule."""
    if entry.fate is Fate.UNDECIDED:
        return UNDECIDED
    usable = found.candidate.verdict <= Verdict.ASK and not found.closed and not found.binds
    return FITS if usable and entry.fate in (Fate.IN_PLAN, Fate.DEARER) else DOES_NOT_FIT


def _print(answer: dict[str, Any]) -> None:
    click.echo(json.dumps(answer, indent=2, ensure_ascii=False))
