"""From a scan and what a person knows of it to a case file: everything is ready before anything is written."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.yaml_text import parse_yaml
from cli.exit import BadInput
from cli.files.case_merge import Change, merged
from cli.files.file_kinds import CASE, POINTS, SCAN
from cli.files.reading import read_as, refuse_other
from cli.files.scan_case import begun
from solver.case.reading import read_case
from solver.case.schema import Arch, Case
from solver.scan.errors import ScanError
from solver.scan.measure import BarScan, measure_bar
from solver.scan.surface.read import UNITS, read_in_mm
from solver.scan.to_case.as_case import Found, as_case
from solver.scan.to_case.drawing import section_sheet
from solver.scan.to_case.points import NO_HINTS, Hints, in_mm, read_points

AUTOMATIC = "automatic"


class Wish(NamedTuple):
    """What the command line asks for."""

    scan: Path
    arch: Arch | None
    points: str
    into: Path | None
    units: str | None
    trueness_mm: float


class Ready(NamedTuple):
    """What is to be written and told."""

    text: str
    drawing: str
    found: Found
    changes: tuple[Change, ...]


class Known(NamedTuple):
    """What is known before the scan is read; `text` is empty and `case` None where a case begins with it."""

    text: str
    case: Case | None
    arch: Arch
    hints: Hints = NO_HINTS


def measured(wish: Wish) -> Ready:
    """Measure the scan; raises `BadInput` or `InputError` where it or the files beside it cannot be used."""
    text, case = _given(wish.into) if wish.into else ("", None)
    arch = _jaw(wish.arch, case)
    known = Known(text, case, arch, _hints(wish, arch))
    try:
        bar = bar_of(wish.scan, wish.units, known.hints)
    except BadInput:
        refuse_other(SCAN, wish.scan, "scan")
        raise
    return put_in(bar, known, f"Bar scanned in {wish.scan.name}", wish.trueness_mm)


def bar_of(scan: Path, units: str | None, hints: Hints = NO_HINTS) -> BarScan:
    """The bar as the scan shows it, which takes a while; raises `BadInput` or `InputError`."""
    try:
        return measure_bar(read_in_mm(scan, units), out=hints.out, spans=hints.spans)
    except ScanError as error:
        raise BadInput(str(error)) from None


def put_in(bar: BarScan, known: Known, title: str, trueness_mm: float) -> Ready:
    """The figures of the bar in the case that is known, or in a new one; raises `BadInput`."""
    try:
        found = as_case(bar, known.arch, known.hints, known.case, trueness_mm)
    except ScanError as error:
        raise BadInput(str(error)) from None
    new = merged(known.text or begun(title, known.arch, load_catalogue().currency), found)
    _check(new.text)
    return Ready(new.text, section_sheet(bar, found.titles), found, new.changes)


def _given(path: Path) -> tuple[str, Case]:
    """The text of a case file and what it says; raises `InputError`."""
    case = read_case(read_as(CASE, path))
    return path.read_text(encoding="utf-8-sig"), case


def _jaw(asked: Arch | None, case: Case | None) -> Arch:
    if case is None and asked is None:
        raise BadInput("a scan does not show which jaw it is of", "write `--arch lower` or `--arch upper`")
    if case is not None and asked is not None and asked != case.arch:
        raise BadInput(f"the case is of the {case.arch} jaw", "leave `--arch` out, or name another case")
    return case.arch if case is not None else asked or "lower"


def _hints(wish: Wish, arch: Arch) -> Hints:
    if wish.points == AUTOMATIC:
        return NO_HINTS
    return in_mm(read_points(read_as(POINTS, wish.points), arch), UNITS[wish.units].value if wish.units else 1.0)


def _check(text: str) -> None:
    """The text must be a case; what makes it none is in the scan."""
    try:
        read_case(parse_yaml(text, "the case as scanned"))
    except InputError as error:
        first = error.mistakes[0]
        advice = "name the supports and segments in a points file"
        raise BadInput(f"the bar as scanned makes no case: {first.where}: {first.problem}", advice) from None
