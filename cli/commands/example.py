"""`regrip example`: a worked example to try the commands on."""

from __future__ import annotations

import difflib
from pathlib import Path

import click

from catalogue.yaml_text import read_yaml
from cli.commands.parameters import force_option
from cli.exit import FITS, BadInput
from cli.files.desk import write_whole
from cli.files.examples import cases, others
from cli.files.own import may_write, wrote
from cli.terminal.screen import console, table


def _names(_: click.Context, __: click.Parameter, incomplete: str) -> list[str]:
    return [path.stem for path in (*cases(), *others()) if path.stem.startswith(incomplete)]


@click.command()
@click.argument("name", required=False, shell_complete=_names)
@click.option(
    "--output", "-o", type=click.Path(path_type=Path, dir_okay=False), help="Write to this file, not to the screen."
)
@force_option
def command(name: str | None, output: Path | None, force: bool) -> int:
    """Print the worked example NAME, or write it with -o; without NAME, list them all. They are invented.

    \b
    regrip example
    regrip example lower-three-supports -o case.yaml
    regrip example lower-three-supports | regrip plan -
    """
    known = {path.stem: path for path in (*cases(), *others())}
    if name is None:
        if output is not None:
            raise BadInput("no example is named", f"one of {', '.join(known)}")
        told = {path.stem: str(read_yaml(path).data["case"]) for path in cases()}
        told |= {path.stem: f"a file for `regrip stock`: {path.stem}" for path in others()}
        table(console(), ("name", "what it shows"), told.items())
        return FITS
    if name not in known:
        close = difflib.get_close_matches(name, known, n=1)
        advice = f"did you mean `{close[0]}`?" if close else f"one of {', '.join(known)}"
        raise BadInput(f"there is no example '{name}'", advice)
    text = known[name].read_text(encoding="utf-8")
    if output is None:
        click.echo(text, nl=False)
        return FITS
    may_write(output, force=force, is_ours=lambda path: path.read_bytes() in {p.read_bytes() for p in known.values()})
    write_whole(output, text)
    wrote(output)
    return FITS
