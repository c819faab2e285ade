"""`regrip new`: a case file as it is told on the telephone, or by a list of questions."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Any

import click

from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from cli.commands.parameters import catalogue_option
from cli.exit import FITS, BadInput
from cli.files.case_text import case_text
from cli.files.desk import write_whole
from cli.files.own import needs_a_folder
from cli.files.reading import catalogue_of
from cli.interview.call import call
from cli.interview.prompts import asker
from cli.interview.questions import interview
from cli.progress import working
from cli.terminal.first_screen import show_first_screen
from cli.terminal.screen import console
from cli.wording.first_screen import Told, screen_of
from solver.assess.oracle import Mechanics
from solver.assess.rejections import ruled_out
from solver.case.measure import UNKNOWN_WORD
from solver.case.provenance import Place
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.errors import InternalFault
from solver.explore.so_far import SoFar, so_far
from solver.explore.strategies import strategies

NARROWEST = 40
"""Columns of a first screen that still reads well."""

PLANNED_S = 10.0
"""Seconds that one step of a call may take before it goes on without a plan."""


@click.command()
@click.argument("file", metavar="CASE", type=click.Path(path_type=Path))
@catalogue_option
@click.option("--force", is_flag=True, help="Overwrite a file that is there already.")
@click.option("--every", is_flag=True, help="Ask every question in a fixed order, whatever the plan needs.")
@click.option("--defaults", "quick", is_flag=True, help="As --every, but only what has no default.")
def command(file: Path, overlays: tuple[str, ...], force: bool, every: bool, quick: bool) -> int:
    """Write the case file CASE as it is told on the telephone: jaw, implants, what is left of the bar.

    From then on it says what could be done and between which prices, and asks the one thing that narrows most. An
    empty answer takes what stands in brackets; `?` is "don't know", `back` goes back, `skip` asks it last, `stop`
    writes what is told. A measured figure may carry its error and unit: `1,8 +- 0,1 mm`. What was not asked stays
    unknown. Where the input is no terminal it is read as answers to every question in a fixed order, one a line.

    \b
    regrip new case.yaml
    regrip new case.yaml --every
    regrip new case.yaml < answers.txt
    """
    _may_write(file, force)
    catalogue = catalogue_of(overlays)
    if every or quick or not sys.stdin.isatty():
        data = interview(asker(quick=quick), file.stem, catalogue.currency)
        write_whole(file, _checked_text(data))
        open_figures = sum(value == UNKNOWN_WORD for value in _leaves(data))
        _tell(file, f"{open_figures} answers are still `unknown`")
        return FITS
    told = call(asker(quick=False), file.stem, catalogue.currency, _plans(catalogue))
    write_whole(file, _checked_text(told.data))
    _show(told.draft.case, catalogue)
    _tell(file, f"{told.answers} answers; what was not told is not known")
    return FITS


def _plans(catalogue: Catalogue) -> Any:
    """How a call is planned with this catalogue."""

    def planned(case: Case, passed: Collection[Place], before: SoFar | None) -> SoFar:
        with working("planning"):
            return so_far(case, catalogue, Options(time_limit_s=PLANNED_S), passed=passed, before=before)

    return planned


def _show(case: Case, catalogue: Catalogue) -> None:
    """The answer as `plan` gives it, without looking which guessed figures it rests on."""
    with working("planning"):
        found = plan(case, catalogue)
        out = ruled_out(found.problem, Mechanics(found.problem))
        ways = strategies(found.problem)
    page = console()
    page.width = max(shutil.get_terminal_size().columns, NARROWEST)
    page.print()
    show_first_screen(page, screen_of(found.problem, Told(found, out, ways)))
    page.print()


def _tell(file: Path, left: str) -> None:
    click.echo(f"regrip: wrote {file}; {left}\nnext: regrip plan {file}", err=True)


def _may_write(file: Path, force: bool) -> None:
    needs_a_folder(file)
    if not file.exists() or force:
        return
    if not sys.stdin.isatty():
        raise BadInput(f"{file} exists already", "give `--force` to overwrite it, or another name")
    click.confirm(f"{file} exists already. Overwrite it when all is answered?", abort=True, err=True)


def _checked_text(data: dict[str, Any]) -> str:
    """The text of the file, read back before it is trusted: the same data, and a case that the loader takes."""
    text = case_text(data)
    document = parse_yaml(text, "new")
    if document.data != data:
        raise InternalFault("the case as written does not read back as answered")
    read_case(document)
    return text


def _leaves(data: Any) -> Iterator[Any]:
    if isinstance(data, dict):
        for value in data.values():
            yield from _leaves(value)
    else:
        yield data
