"""The programming interface; `cli/public.py` is its face. Answers are those of `--json`, by their schema."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from catalogue.yaml_text import Document, read_raw
from cli.commands.schema import SCHEMAS
from cli.draw.picture import png
from cli.draw.poster import poster
from cli.exit import BadInput
from cli.files.desk import Desk, desk_of
from cli.files.file_kinds import CASE
from cli.files.proposal import checked, proposed
from cli.files.reading import catalogue_of, document_of
from cli.json_out import answer as json_answer
from cli.json_out import ask as json_ask
from cli.json_out import whole
from cli.json_out.envelope import headed
from cli.report.page import html, pdf
from cli.report.sheet import SECTIONS, origin_of, sheet_by_hand, sheet_of
from cli.version import version
from cli.wording.numbers import figures_of
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least
from solver.assess.rejections import ruled_out
from solver.case.reading import read_case as read_case_document
from solver.case.schema import Case
from solver.choose.plan import plan as find_plan
from solver.choose.search import Options
from solver.choose.tiers import tiers
from solver.errors import InternalFault
from solver.explain.comparison import Comparison
from solver.explain.needs import why as needs_of
from solver.explore.questions import ask as find_questions
from solver.explore.sensitivity import sensitivity as find_sensitivity
from solver.explore.strategies import strategies
from solver.fit.bench import NoSuchSite
from solver.fit.proposal import BadPut, read_put

__all__ = [
    "BadInput",
    "CaseFile",
    "Catalogue",
    "InputError",
    "InternalFault",
    "ask",
    "check",
    "load_case",
    "load_catalogue",
    "plan",
    "read_case",
    "report",
    "schema",
    "version",
    "why",
]

Answer = dict[str, Any]
Form = Literal["html", "pdf", "svg", "png"]


@dataclass(frozen=True, slots=True)
class CaseFile:
    """A case that was read: `facts` is what it says, `name` how it is called in messages."""

    name: str
    facts: Case
    document: Document = field(repr=False)
    raw: bytes = field(repr=False)

    def beside(self, catalogue: Catalogue | None) -> Desk:
        """The case with a catalogue, the starter one where none is given; raises `InputError`."""
        desk = desk_of(self.document, self.facts, load_catalogue() if catalogue is None else catalogue)
        return desk._replace(raw=self.raw)


def load_case(path: str | Path) -> CaseFile:
    """Read a case file; raises `InputError` with every mistake at its line and column."""
    return _read(read_raw(path), str(path))


def read_case(text: str, name: str = "case.yaml") -> CaseFile:
    """Read a case from YAML text; raises `InputError`."""
    return _read(text.encode(), name)


def _read(raw: bytes, name: str) -> CaseFile:
    document = document_of(CASE, raw, name)
    return CaseFile(name, read_case_document(document), document, raw)


def load_catalogue(*paths: str | Path) -> Catalogue:
    """The starter catalogue with these files laid over it, in order; raises `InputError`."""
    return catalogue_of(paths)


def plan(
    case: CaseFile,
    catalogue: Catalogue | None = None,
    *,
    least: Least = "now",
    plans: int = 1,
    sensitivity: bool = False,
    time_limit_s: float = 30.0,
) -> Answer:
    """The cheapest mix that fits, moves and holds, as `regrip plan --json` says it.

    `least`: which cost is made least, that of fitting (`now`) or that over the years of the case (`years`). `plans`:
    how many best plans. `sensitivity`: tell which weak figures the choice hangs on, as far as the time allows.
    """
    desk, how = case.beside(catalogue), Options(time_limit_s=time_limit_s, plans=plans, least=least)
    found = find_plan(desk.case, desk.catalogue, how)
    one = Options(time_limit_s=time_limit_s, least=least)
    content = whole.planned(
        found,
        ruled_out(found.problem, Mechanics(found.problem)),
        strategies(found.problem, one),
        tiers(found, one),
        find_sensitivity(found, one) if sensitivity else None,
    )
    return headed("plan", content, desk.case.money.currency)


def check(case: CaseFile, mix: Mapping[str, str] | None = None, catalogue: Catalogue | None = None) -> Answer:
    """A mix judged, as `regrip check --json` says it: `{"A": "clip-round-metal-5 x2"}`, else that of the case.

    Raises `BadInput` for a mix that cannot be put there, or where there is none.
    """
    desk = case.beside(catalogue)
    return headed("check", json_answer.checked(checked(desk, _put(desk, mix))), desk.case.money.currency)


def _put(desk: Desk, mix: Mapping[str, str] | None) -> Mapping[str, Any]:
    try:
        put = proposed(desk) if mix is None else {site: read_put(text) for site, text in mix.items()}
    except BadPut as error:
        raise BadInput(error.problem, error.advice) from None
    if not put:
        raise BadInput("there is no mix", "give one, or add `mix:` to the case")
    return put


def why(
    case: CaseFile,
    site: str | None = None,
    attachment: str | None = None,
    catalogue: Catalogue | None = None,
    *,
    least: Least = "now",
    time_limit_s: float = 30.0,
) -> Answer:
    """Why an attachment is or is not at a site in the plan, as `regrip why --json` says it.

    Without `attachment` all that the catalogue has for the site, without `site` all sites. Raises `BadInput` for a
    site or an attachment that there is not.
    """
    desk, how = case.beside(catalogue), Options(time_limit_s=time_limit_s, least=least)
    currency = desk.case.money.currency
    try:
        comparison = Comparison(desk.case, desk.catalogue, how)
        if site is not None and attachment is not None:
            put = read_put(attachment)
            found = needs_of(desk.case, desk.catalogue, site, put)
            content = whole.reasons(found, comparison.answer, comparison.put(site, put))
            return headed("why", content, currency)
        wanted = comparison.problem.site_ids if site is None else (site,)
        content = whole.compared(comparison.answer, [comparison.site(each) for each in wanted])
    except (BadPut, NoSuchSite) as error:
        raise BadInput(error.problem, error.advice) from None
    return headed("why-sites", content, currency)


def ask(
    case: CaseFile, catalogue: Catalogue | None = None, *, least: Least = "now", time_limit_s: float = 30.0
) -> Answer:
    """What to ask or measure next, as `regrip ask --json` says it."""
    desk = case.beside(catalogue)
    found = find_questions(desk.case, desk.catalogue, Options(time_limit_s=time_limit_s, least=least))
    return headed("ask", json_ask.ask(found), desk.case.money.currency)


def report(
    case: CaseFile,
    catalogue: Catalogue | None = None,
    *,
    form: Form = "html",
    mix: Mapping[str, str] | None = None,
    sections: Sequence[str] = SECTIONS,
    paper: str = "A4",
    redact: bool = False,
    locale: str | None = None,
    time_limit_s: float = 30.0,
) -> bytes:
    """The sheet to hand on (`html`, `pdf`) or the drawing (`svg`, `png`), of the plan or of a `mix`.

    `html` and `pdf` need the extra `report`; raises `BadInput` where it is not installed.
    """
    desk = case.beside(catalogue)
    figures = figures_of(locale, desk.case)
    origin = origin_of(desk, Path(case.name).name, desk.raw, datetime.date.today(), redacted=redact)
    if mix is not None:
        sheet = sheet_by_hand(checked(desk, _put(desk, mix)), origin, figures)
    else:
        how = Options(time_limit_s=time_limit_s)
        found = find_plan(desk.case, desk.catalogue, how)
        ways = strategies(found.problem, how) if "case" in sections else ()
        sheet = sheet_of(found, ways, origin, figures)
    if form in ("svg", "png"):
        svg = poster(sheet.problem, sheet.best, figures, "" if redact else desk.case.case)
        return png(svg) if form == "png" else svg.encode()
    page = html(sheet, sections, paper)
    return pdf(page) if form == "pdf" else page.encode()


def schema(of: str) -> Answer:
    """The JSON Schema (draft 2020-12) of a file or of the answers; raises `BadInput` for another name."""
    if of not in SCHEMAS:
        raise BadInput(f"there is no schema '{of}'", f"one of {', '.join(SCHEMAS)}")
    return dict(SCHEMAS[of]())
