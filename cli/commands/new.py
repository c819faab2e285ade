"""`regrip new`: a case file by a short interview."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from catalogue.load import load_catalogue
from catalogue.yaml_text import parse_yaml
from cli.exit import FITS, BadInput
from cli.files.case_text import case_text
from cli.files.desk import write_whole
from cli.interview.prompts import asker
from cli.interview.questions import interview
from solver.case.measure import UNKNOWN_WORD
from solver.errors import InternalFault


@click.command()
@click.argument("file", metavar="CASE", type=click.Path(path_type=Path))
@click.option("--force", is_flag=True, help="Overwrite a file that is there already.")
@click.option("--defaults", "quick", is_flag=True, help="Ask only what has no default; the rest stays open.")
def command(file: Path, force: bool, quick: bool) -> int:
    """Write the case file CASE from the answers to some questions: jaw, implants, bar, room, patient, work, money.

    An empty answer takes what stands in brackets; `?` is "don't know". A measured figure may carry its error:
    `1.8 +- 0.1`. Nothing is written before the last answer. Where the input is no terminal it is read as answers,
    one a line.

    \b
    regrip new case.yaml
    regrip new case.yaml --defaults
    regrip new case.yaml < answers.txt
    """
    _may_write(file, force)
    data = interview(asker(quick=quick), file.stem, load_catalogue().currency)
    write_whole(file, _checked_text(data))
    open_figures = sum(value == UNKNOWN_WORD for value in _leaves(data))
    click.echo(
        f"regrip: wrote {file}; {open_figures} answers are still `unknown`\nnext: regrip plan {file}", err=True
    )
    return FITS


def _may_write(file: Path, force: bool) -> None:
    if file.is_dir() or not file.parent.is_dir():
        raise BadInput(f"{file} cannot be written", "name a file in a folder that exists")
    if not file.exists() or force:
        return
    if not sys.stdin.isatty():
        raise BadInput(f"{file} exists already", "give `--force` to overwrite it, or another name")
    click.confirm(f"{file} exists already. Overwrite it when all is answered?", abort=True, err=True)


def _checked_text(data: dict[str, Any]) -> str:
    """The text of the file, read back before it is trusted."""
    text = case_text(data)
    if parse_yaml(text, "new").data != data:
        raise InternalFault("the case as written does not read back as answered")
    return text


def _leaves(data: Any) -> Iterator[Any]:
    if isinstance(data, dict):
        for value in data.values():
            yield from _leaves(value)
    else:
        yield data
