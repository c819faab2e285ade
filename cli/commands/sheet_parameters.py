"""Options that the commands share which write a sheet to a file."""

from __future__ import annotations

from pathlib import Path

import click

from cli.commands.parameters import F
from cli.exit import BadInput


def output_option(command: F) -> F:
    """`-o FILE`."""
    return click.option(
        "--output",
        "-o",
        type=click.Path(path_type=Path, dir_okay=False),
        required=True,
        metavar="FILE",
        help="File to write; its ending says in which form.",
    )(command)


def redact_option(command: F) -> F:
    """`--redact`."""
    return click.option("--redact", is_flag=True, help="Leave patient data out: title, remarks, reference, history.")(
        command
    )


def locale_option(command: F) -> F:
    """`--locale NAME`."""
    return click.option(
        "--locale",
        metavar="NAME",
        help="Write numbers, dates and money as this locale does, e.g. de_DE; goes before `locale:` of the case.",
    )(command)


def suffix_of(output: Path, known: tuple[str, ...]) -> str:
    """The ending of the file to write; raises `BadInput` where it is none of `known`."""
    suffix = output.suffix.lower()
    if suffix not in known:
        raise BadInput(f"'{output.name}' does not say what to write", f"end the name in {' or '.join(known)}")
    return suffix
