"""`regrip schema`: JSON Schema of the files that a person writes, and of the answers for machines."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

from cli.commands.parameters import force_option
from cli.exit import FITS
from cli.files.desk import write_whole
from cli.files.own import MARK, may_write, wrote
from cli.files.schema import case_schema, catalogue_schema, outlook_schema, stock_schema, suppliers_schema
from cli.json_out.shapes import answer_schema


def _answers() -> dict[str, Any]:
    return {"$comment": MARK.decode()} | answer_schema()


SCHEMAS: Mapping[str, Callable[[], dict[str, Any]]] = {
    "case": case_schema,
    "catalogue": catalogue_schema,
    "stock": stock_schema,
    "suppliers": suppliers_schema,
    "outlook": outlook_schema,
    "answer": _answers,
}


@click.command()
@click.argument("of", metavar="|".join(SCHEMAS), type=click.Choice(tuple(SCHEMAS)))
@click.option(
    "--output", "-o", type=click.Path(path_type=Path, dir_okay=False), help="Write to this file, not to the screen."
)
@force_option
def command(of: str, output: Path | None, force: bool) -> int:
    """The JSON Schema (draft 2020-12) of a file that you write: every key, what it means, what it may hold.

    `answer` is the shape of what the commands print with `--json`.

    The catalogue's is for a file laid over the starter catalogue, in which every key may be left out;
    `regrip catalogue check FILE` tells what a new entry still lacks. Many editors complete and check a file
    whose first line names its schema:

    \b
    regrip schema case -o case.schema.json
    # yaml-language-server: $schema=case.schema.json
    """
    text = json.dumps(SCHEMAS[of](), indent=2, ensure_ascii=False)
    if output is None:
        click.echo(text)
    else:
        may_write(output, force=force)
        write_whole(output, f"{text}\n")
        wrote(output)
    return FITS
