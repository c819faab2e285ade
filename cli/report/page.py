"""Templates to HTML, HTML to PDF."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from catalogue.quantities import QUANTITIES
from cli.draw.legend import kinds_of
from cli.draw.overhead import overhead
from cli.draw.poster import panels
from cli.extras import extra
from cli.report.markup import templates_of
from cli.report.sheet import Sheet, charges
from cli.wording import insertion, sensitivity, words
from cli.wording import loads as load
from cli.wording import strategies as strategy
from cli.wording.reasons import relocated
from cli.wording.remarks import remark
from cli.wording.rules import RuleWords
from solver.case.money import Cost

PAPERS = ("A4", "Letter")


def html(sheet: Sheet, sections: Sequence[str], paper: str) -> str:
    """The chosen sections as one page of HTML that needs nothing else and runs no script."""
    place = templates_of(Path(__file__).parent, "report")
    place.filters |= _filters(sheet)
    place.globals |= _globals(sheet)
    return str(place.get_template("report.html").render(sheet=sheet, sections=sections, paper=paper))


def pdf(page: str) -> bytes:
    """The page as PDF with its fonts in it, nothing fetched; raises `BadInput` without the extra `report`."""
    weasyprint = extra("weasyprint")
    return bytes(weasyprint.HTML(string=page, url_fetcher=_fetch_nothing).write_pdf())


def _fetch_nothing(address: str, *_: Any, **__: Any) -> Any:
    raise ValueError(f"a report fetches nothing: {address}")


def _filters(sheet: Sheet) -> dict[str, Any]:
    figures, purse, money = sheet.figures, sheet.problem.purse, sheet.problem.case.money
    return {
        "number": figures.number,
        "plain": figures.plain,
        "measure": figures.measure,
        "share": figures.share,
        "date": figures.date,
        "band": lambda band, digits=1: figures.span(band[0], band[1], digits),
        "relocated": lambda text: relocated(text, figures),
        "cost": lambda band: figures.cost(Cost(band.low, band.high), money.currency, purse.digits),
        "stop": words.stop,
        "told": load.figure,
        "finite": math.isfinite,
        "fitted_at": lambda plan, site: next((c for c in plan.mix if c.site.id == site), None),
        "money": lambda minor: figures.money(round(minor), money.currency, purse.digits),
    }


def _globals(sheet: Sheet) -> dict[str, Any]:
    problem, figures = sheet.problem, sheet.figures
    return {
        "path": insertion.sentence,
        "strategy": strategy,
        "sensitivity": sensitivity,
        "load": load,
        "remark": remark,
        "rules": RuleWords.of(problem, figures, redacted=sheet.origin.redacted),
        "quantities": QUANTITIES,
        "panels": lambda plan: panels(problem, plan, figures),
        "above": lambda plan, name, scale: overhead(problem, plan, figures, name, scale, full=False),
        "problem_arch": problem.case.arch,
        "kinds_of": kinds_of,
        "charges": lambda plan: charges(problem, plan.mix),
        "numbers": {entry.key: entry for entry in sheet.cited},
    }
