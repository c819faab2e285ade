"""Arguments and options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from cli.commands import names

F = TypeVar("F", bound=Callable[..., Any])

case_argument = click.argument("case", type=click.Path(path_type=str))


def catalogue_option(command: F) -> F:
    """`--catalogue FILE`, as often as wanted."""
    return click.option(
        "--catalogue",
        "-c",
        "overlays",
        multiple=True,
        type=click.Path(path_type=str),
        help="Lay this catalogue file over the starter one; may be given again.",
    )(command)


def put_option(command: F) -> F:
    """`--put SITE=ATTACHMENT`, as often as wanted."""
    return click.option(
        "--put",
        "-p",
        "puts",
        multiple=True,
        metavar="SITE=ATTACHMENT[xN]",
        shell_complete=names.puts,
        help="Put this at a site; again for more.",
    )(command)


def json_option(command: F) -> F:
    """`--json`."""
    return click.option("--json", "as_json", is_flag=True, help="Answer as JSON, failures too.")(command)


def force_option(command: F) -> F:
    """`--force`."""
    return click.option("--force", is_flag=True, help="Overwrite a file that regrip did not make.")(command)


def least_option(command: F) -> F:
    """`--least now|years`."""
    return click.option(
        "--least",
        type=click.Choice(["now", "years"]),
        default="now",
        show_default=True,
        help="Which cost is made least: that of fitting, or that over the years of the case.",
    )(command)


def time_option(command: F) -> F:
    """`--time-limit`."""
    return click.option(
        "--time-limit",
        type=click.FloatRange(min=0, min_open=True),
        default=30.0,
        show_default=True,
        metavar="SECONDS",
        help="Stop searching after this time.",
    )(command)
