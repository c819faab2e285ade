"""`regrip measure`: the bar of a case from a scan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cli.commands.parameters import json_option
from cli.commands.say import say_json
from cli.exit import FITS, BadInput
from cli.files.desk import write_whole
from cli.files.own import needs_a_folder
from cli.progress import working

if TYPE_CHECKING:
    from cli.files.scan_to_case import Ready
    from solver.case.schema import Arch

FILE = click.Path(path_type=Path)


@click.command()
@click.argument("scan", type=FILE)
@click.option("--output", "-o", "case", type=FILE, required=True, help="The case file to write.")
@click.option("--arch", type=click.Choice(["lower", "upper"]), help="The jaw; asked for where no case says it.")
@click.option(
    "--points",
    default="automatic",
    show_default=True,
    metavar="FILE",
    help="Points file: names, teeth, ends of segments, directions.",
)
@click.option("--into", type=FILE, help="Put the figures into this case; its comments and all else stay.")
@click.option("--sheet", type=FILE, help="Draw a section of each segment, to scale, into this .svg file.")
@click.option("--units", type=click.Choice(["mm", "um", "cm", "inch", "m"]), help="Unit of the scan file.")
@click.option(
    "--trueness",
    type=click.FloatRange(0, 1),
    default=0.0,
    metavar="MM",
    help="Error of the scanner itself, added to every length; the mesh cannot show it.",
)
@click.option("--force", is_flag=True, help="Overwrite files that are there already.")
@json_option
def command(
    scan: Path, case: Path, arch: Arch | None, points: str, into: Path | None, sheet: Path | None,
    units: str | None, trueness: float, force: bool, as_json: bool,
) -> int:  # fmt: skip
    """Measure the bar in SCAN (STL, PLY or OBJ) and write its supports, segments and ends as a case file.

    Figures carry their error; what the scan does not cover is `unknown`. What no scan can show, such as money, is
    marked `placeholder`. Needs the extra `scan`. docs/scan.md tells what is measured and the points file.

    \b
    regrip measure bar.stl --arch lower -o case.yaml
    regrip measure bar.ply --into case.yaml -o case.yaml --trueness 0.02
    regrip measure bar.stl --arch lower --points points.yaml -o case.yaml --sheet bar.svg
    """
    _may_write(case, scan, force or _same(case, into))
    if sheet:
        _may_write(sheet, scan, force)
        if _same(sheet, case) or _same(sheet, into):
            raise BadInput("the drawing and the case cannot be one file", "give `--sheet` another name")
    with working("measuring"):
        from cli.files.scan_to_case import Wish, measured  # noqa: PLC0415 - scipy is slow to load

        ready = measured(Wish(scan, arch, points, into, units, trueness))
    write_whole(case, ready.text)
    if sheet:
        write_whole(sheet, ready.drawing)
    if as_json:
        say_json("measure", _answer(case, ready))
    _tell(case, ready, trueness)
    return FITS


def _may_write(file: Path, scan: Path, force: bool) -> None:
    needs_a_folder(file)
    if _same(file, scan):
        raise BadInput(f"{file} is the scan itself", "give another name")
    if file.exists() and not force:
        raise BadInput(f"{file} exists already", "give `--force` to overwrite it, or another name")


def _same(one: Path, other: Path | None) -> bool:
    if other is None:
        return False
    return one.resolve() == other.resolve() or (one.exists() and other.exists() and one.samefile(other))


def _tell(case: Path, ready: Ready, trueness: float) -> None:
    """What was assumed, what contradicts the file, what is open, and what to do next, on stderr."""
    lines = [f"note: {note}" for note in ready.found.notes]
    if not trueness:
        lines.append("note: errors are those of the mesh alone; add the scanner's own with `--trueness`, e.g. 0.02")
    lines += [f"changed: {change.where}: {change.old} -> {change.new}" for change in ready.changes]
    still_open = _open(ready)
    lines.append(f"regrip: wrote {case}; unknown in the scan: {', '.join(still_open) or 'nothing'}")
    click.echo("\n".join([*lines, f"next: put in what says `placeholder`, then regrip plan {case}"]), err=True)


def _groups(ready: Ready) -> dict[str, Any]:
    found = ready.found
    return {"supports": found.supports, "segments": found.segments, "ends": found.ends}


def _open(ready: Ready) -> list[str]:
    return [
        f"{name}.{key}"
        for sites in _groups(ready).values()
        for name, facts in sites.items()
        for key, fact in facts.items()
        if not fact.known
    ]


def _answer(case: Path, ready: Ready) -> dict[str, Any]:
    groups = {
        group: {name: {key: fact.value for key, fact in facts.items()} for name, facts in sites.items()}
        for group, sites in _groups(ready).items()
    }
    changes = [change._asdict() for change in ready.changes]
    return {"status": "measured", "file": str(case), **groups, "notes": [*ready.found.notes], "changes": changes}
