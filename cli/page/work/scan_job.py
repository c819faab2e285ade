"""The job of a scan: the bar measured, put into the open case or a new one, and told in the words of the form."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from catalogue.yaml_text import parse_yaml
from cli.exit import BadInput
from cli.interview.prompts import Unusable
from cli.page.form.entry import decimal
from cli.page.form.fields import label_of
from cli.page.work.messages import Asked, Fragments
from solver.case.reading import read_case
from solver.case.schema import Arch

if TYPE_CHECKING:
    from cli.files.scan_to_case import Ready
    from solver.scan.measure import BarScan
    from solver.scan.to_case.facts import Facts

MOST_TRUENESS_MM = 1.0
MESH_ALONE = "Errors are those of the surface alone; the error of the scanner itself was not given"
_TIES = ("between", "on")


class Bars:
    """The bar measured last, by its scan: the same scan for a newer text of the case is not measured again."""

    def __init__(self) -> None:
        self._last: tuple[tuple[str, str], BarScan] | None = None

    def of(self, scan: str, units: str) -> BarScan:
        """The bar of a scan; raises `BadInput` or `InputError`. A unit that is asked for is chosen in the form."""
        if self._last is None or self._last[0] != (scan, units):
            self._last = ((scan, units), _bar_of(Path(scan), units or None))
        return self._last[1]


def scan_job(asked: Asked, bars: Bars) -> Fragments:
    """The text of the case with the bar as scanned, and what is to be told of it, a line for each.

    Without a text it is a new case, of the jaw that is asked for. Raises `BadInput` or `InputError`.
    """
    from cli.files.scan_to_case import Known, put_in  # noqa: PLC0415 - the extra `scan`, and slow to load

    more = asked.more
    trueness_mm = _trueness(more.get("trueness", ""))
    case = read_case(parse_yaml(asked.text, asked.name)) if asked.text else None
    arch: Arch = case.arch if case else "upper" if more.get("arch") == "upper" else "lower"
    bar = bars.of(more["scan"], more.get("units", ""))
    ready = put_in(bar, Known(asked.text, case, arch), f"Bar scanned in {more.get('name', 'a scan')}", trueness_mm)
    lines = [*_measured(ready), *_left(ready), *_contradicted(ready)] if case else []
    lines += [note[:1].upper() + note[1:] for note in ready.found.notes]
    return {"text": ready.text, "notes": "\n".join(lines if trueness_mm else [*lines, MESH_ALONE])}


def _bar_of(scan: Path, units: str | None) -> BarScan:
    from solver.scan.errors import ScanError, UnitOpen  # noqa: PLC0415 - the extra `scan`, and slow to load
    from solver.scan.measure import measure_bar  # noqa: PLC0415 - as above
    from solver.scan.surface.read import read_in_mm  # noqa: PLC0415 - as above

    try:
        return measure_bar(read_in_mm(scan, units))
    except UnitOpen as error:
        if not error.candidates:
            raise BadInput(str(error)) from None
        wanted = f"choose {' or '.join(error.candidates)} as the unit of the file"
        raise BadInput(f"{error.diagonal:.4g} {error.unit} across is no bar", wanted) from None
    except ScanError as error:
        raise BadInput(str(error)) from None


def _trueness(text: str) -> float:
    """The error of the scanner in mm, 0 where none is given; raises `BadInput`."""
    try:
        found = decimal(text) if text.strip() else 0.0
    except Unusable as error:
        raise BadInput(f"error of the scanner: {error.problem}", error.advice) from None
    if not 0 <= found <= MOST_TRUENESS_MM:
        raise BadInput(
            f"{found:g} mm is no error of a scanner", f"write 0 to {MOST_TRUENESS_MM:g}, for instance 0.02"
        )
    return found


def _sites(ready: Ready) -> Iterator[tuple[str, str, Facts]]:
    found = ready.found
    for group, sites in (("segments", found.segments), ("ends", found.ends), ("supports", found.supports)):
        for name, facts in sites.items():
            yield group, name, {key: fact for key, fact in facts.items() if key not in _TIES}


def _measured(ready: Ready) -> Iterator[str]:
    for group, name, facts in _sites(ready):
        if known := [label_of(group, key).lower() for key, fact in facts.items() if fact.known]:
            yield f"{name} measured: {', '.join(known)}"


def _left(ready: Ready) -> Iterator[str]:
    """What the scan does not know, which stays as it was."""
    for group, name, facts in _sites(ready):
        for key, fact in facts.items():
            if not fact.known:
                why = f" ({fact.remark})" if fact.remark else ""
                yield f"{name} left as it was: {label_of(group, key).lower()}{why}"


def _contradicted(ready: Ready) -> Iterator[str]:
    for change in ready.changes:
        group, name, *key = change.where.split(".")
        what = label_of(group, key[0]).lower() if key else "place"
        line = f"{name} {what} was {change.old}, which the scan contradicts; now {change.new}"
        yield line.replace("+-", "\N{PLUS-MINUS SIGN}")
