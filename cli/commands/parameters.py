"""Arguments and options that several commands share."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, TypeVar

import click

from cli.commands import names
from cli.files.own_catalogue import with_own

_OWN = "regrip.own_catalogue"
F = TypeVar("F", bound=Callable[..., Any])

case_argument = click.argument("case", type=click.Path(path_type=str))


def catalogue_option(command: F) -> F:
    """`--catalogue FILE`, as often as wanted; a catalogue of the user's own lies under them and is said to."""
    return _catalogue_option(over_the_own)(command)


def only_catalogues_given(command: F) -> F:
    """`--catalogue FILE` without the user's own catalogue."""
    return _catalogue_option(None)(command)


def _catalogue_option(callback: Callable[..., Any] | None) -> Callable[[F], F]:
    return click.option(
        "--catalogue",
        "-c",
        "overlays",
        multiple=True,
        type=click.Path(path_type=str),
        callback=callback,
        help="Lay this catalogue file over the starter one; may be given again.",
    )


def over_the_own(ctx: click.Context, param: click.Parameter, value: tuple[str, ...]) -> tuple[str, ...]:
    """The files given, over a catalogue of the user's own where there is one, which is said."""
    if ctx.resilient_parsing:  # the shell completes a line
        return value
    overlays, own = with_own(value)
    if own:
        ctx.find_root().meta[_OWN] = own
        click.echo(f"regrip: {own} is laid over the starter catalogue", err=True)
    return overlays


def echo_json(answer: dict[str, Any]) -> None:
    """An answer for machines; the own catalogue that it was worked out with is named in it."""
    own = click.get_current_context().find_root().meta.get(_OWN)
    whole = {**answer, "own_catalogue": own} if own else answer
    click.echo(json.dumps(whole, indent=2, ensure_ascii=False))


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
