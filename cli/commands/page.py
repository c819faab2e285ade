"""`regrip page`: the case as a form in the browser, answered while one types."""

from __future__ import annotations

from pathlib import Path

import click

from cli.commands.parameters import catalogue_option
from cli.exit import BAD_INPUT, FITS, BadInput
from cli.extras import extra

NEEDED = ("jinja2", "starlette", "uvicorn")


@click.command()
@click.argument("case", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port on this machine; left out: a free one.")
@click.option("--no-browser", "quiet", is_flag=True, help="Print the address and open no browser.")
@catalogue_option
def command(case: Path | None, port: int, quiet: bool, overlays: tuple[str, ...]) -> int:
    """Open CASE as a page in the browser; without CASE, begin one in the folder you are in.

    The page works on the file itself: it saves the same YAML, comments and order kept. It talks to this machine only
    and needs no network. Ctrl-C ends it, and says what becomes of work that is not saved. docs/page.md has the rest.

    \b
    regrip page docs/examples/lower-three-supports.yaml
    regrip page case.yaml --catalogue our-prices.yaml
    regrip page
    """
    for module in NEEDED:
        extra(module, "page")
    from cli.page.document.folder import NEW  # noqa: PLC0415
    from cli.page.web.launch import launch  # noqa: PLC0415 - only with the extra

    path = Path.cwd() / NEW if case is None else case
    if path.is_dir() or not path.absolute().parent.is_dir():
        raise BadInput(f"{path} cannot be opened", "name a file in a folder that exists")
    ended = launch(path, overlays, port=port, browser=not quiet, tell=click.echo)
    name = click.format_filename(ended.path if case is None or ended.path != path.resolve() else path)
    told = {
        "kept": f"what is not saved of {name} is kept, and offered the next time it is opened",
        "older": f"what was typed last in {name} is lost, it could not be kept: {ended.reason}; "
        "an earlier state of it is offered the next time",
        "lost": f"what is not saved of {name} is lost, it could not be kept: {ended.reason}",
    }
    if ended.work in told:
        click.echo(f"regrip: {told[ended.work]}", err=True)
    return BAD_INPUT if ended.work in ("older", "lost") else FITS
