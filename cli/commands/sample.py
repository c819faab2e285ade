"""`regrip batch sample`: invented cases at random, for trials."""

from __future__ import annotations

from pathlib import Path

import click
import yaml

from cli.exit import FITS, BadInput
from cli.files.desk import write_whole
from solver.case.sampling import sample_case

HEADER = "# Invented by `regrip batch sample`: no patient, no practice, and no survey behind the distributions.\n"


@click.command()
@click.argument("count", metavar="N", type=click.IntRange(1, 10_000))
@click.option("--output", "-o", type=click.Path(path_type=Path), required=True, help="Folder for the case files.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same cases.")
def command(count: int, output: Path, seed: int) -> int:
    """Write N invented cases into a folder, drawn at random by distributions that are invented too.

    They are for trying things out; nothing may be concluded from them about people. No file is overwritten.

    \b
    regrip batch sample 20 -o trial
    regrip stock order trial/*.yaml
    """
    digits = max(3, len(str(count)))
    paths = [output / f"case-{number:0{digits}}.yaml" for number in range(1, count + 1)]
    if taken := next((path for path in paths if path.exists()), None):
        raise BadInput(f"{taken} is already there", "name another folder")
    output.mkdir(parents=True, exist_ok=True)
    for number, path in enumerate(paths, 1):
        written = yaml.safe_dump(sample_case(seed, number), sort_keys=False, default_flow_style=None, width=110)
        write_whole(path, HEADER + written)
    click.echo(f"regrip: wrote {count} invented case{'' if count == 1 else 's'} into {output}", err=True)
    return FITS
