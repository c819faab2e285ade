"""What a file seems to be, so that one of the wrong kind is told in one line and sent where it belongs."""

from __future__ import annotations

import difflib
import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from catalogue.models import Catalogue
from catalogue.sheet import Finding, Sheet
from solver.buying.order_file import OrderFile
from solver.buying.outlook import Outlook
from solver.buying.stock import Stock
from solver.buying.suppliers import Suppliers
from solver.case.schema import Case
from solver.scan.errors import DamagedScan, OversizedScan, ScanError, TruncatedScan
from solver.scan.surface.sniff import sniff
from solver.scan.to_case.points import Points


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: how it is called, where it goes, how one comes about, and by what it is known.

    `keys`: those that may stand in it, at its top. `marks`: the keys or columns that each of its lines has.
    """

    name: str
    goes: str = ""
    made: str = ""
    keys: frozenset[str] = frozenset()
    marks: frozenset[str] = frozenset()
    may_be_empty: bool = False


def _sheet(name: str, model: type[Sheet], goes: str, made: str, *, may_be_empty: bool = False) -> Kind:
    return Kind(name, goes, made, keys=frozenset(model.model_fields), may_be_empty=may_be_empty)


CASE = _sheet("a case", Case, "`regrip plan` takes it", "`regrip new` writes one")
CATALOGUE = _sheet(
    "a catalogue file",
    Catalogue,
    "`regrip catalogue check` takes it, and `--catalogue`",
    "`regrip schema catalogue` lists its keys",
    may_be_empty=True,
)
OUTLOOK = _sheet("an outlook", Outlook, "`regrip stock forecast` takes it", "`regrip schema outlook` lists its keys")
STOCK = _sheet(
    "a stock file",
    Stock,
    "`--stock` of `regrip stock order` takes it",
    "`regrip schema stock` lists its keys",
    may_be_empty=True,
)
SUPPLIERS = _sheet(
    "a suppliers file",
    Suppliers,
    "`--suppliers` of `regrip stock order` takes it",
    "`regrip schema suppliers` lists its keys",
)
POINTS = _sheet(
    "a points file",
    Points,
    "`--points` of `regrip measure` takes it",
    "docs/scan.md lists its keys",
    may_be_empty=True,
)
ORDER = _sheet("an order", OrderFile, "`regrip stock receive` takes it", "`regrip stock order --json` writes one")
PRICES = Kind(
    "a price list",
    "`regrip catalogue prices` takes it",
    "its first line names the columns: attachment, price, currency",
    marks=frozenset({"attachment", "currency"}),
)
RESULTS = Kind(
    "the results of a batch",
    "`regrip batch summary` takes them",
    "`regrip batch` writes them",
    marks=frozenset({"file", "digest", "outcome"}),
)
SCAN = Kind("a scan", "`regrip measure` takes it", "export the surface as STL, PLY or OBJ")
BATCH_JOURNAL = Kind("the journal of a batch", "`regrip batch` finds it by itself", marks=frozenset({"ms", "row"}))
STOCK_JOURNAL = Kind(
    "the journal of a stock file",
    "`regrip stock receive` finds it by itself",
    marks=frozenset({"order", "before", "after"}),
)
ANSWER = Kind("an answer of `--json`")

SHEETS = (CASE, CATALOGUE, OUTLOOK, STOCK, SUPPLIERS, POINTS, ORDER)
TABLES = (RESULTS, PRICES, BATCH_JOURNAL, STOCK_JOURNAL)
FOREIGN: Mapping[bytes, Kind] = {
    b"%PDF": Kind("a PDF"),
    **dict.fromkeys((b"\x89PNG", b"\xff\xd8\xff", b"GIF8", b"<svg", b"II*\0", b"MM\0*"), Kind("a picture")),
    b"<?xml": Kind("a drawing or another XML file"),
    **dict.fromkeys((b"<!doctype html", b"<!DOCTYPE html", b"<html"), Kind("a web page")),
    **dict.fromkeys((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"\x1f\x8b", b"7z\xbc\xaf"), Kind("an office or zip file")),
    b"PAR1": RESULTS,
}
"""Kinds by the bytes that a file begins with."""


def wrong_kind(expected: Kind, raw: bytes, data: Any) -> Finding | None:
    """What to say where a file is not of the kind that is expected; None where it is, or where nothing is known.

    `raw`: its first bytes, `data`: what stands in it as YAML, None where it is none.
    """
    if data == {}:
        return None if expected.may_be_empty else Finding(f"is empty, not {expected.name}", expected.made)
    if not isinstance(data, dict):
        found = _by_content(raw)
    elif data.keys() <= expected.keys:
        return None
    else:
        found = _by_keys(data, expected, is_json=isinstance(_json(raw), dict))
    if found is not None:
        advice = found.goes or expected.made
        return None if found is expected else Finding(f"seems to be {found.name}, not {expected.name}", advice)
    if isinstance(data, dict) and expected.keys and _is_strange(data, expected):
        return Finding(f"is not {expected.name}: it has none of its keys", expected.made)
    return None


def _by_keys(data: Mapping[str, Any], expected: Kind, *, is_json: bool) -> Kind | None:
    """Whose keys these are. A person slips in some of them, a machine in none."""
    if row := _by_marks(data):
        return row
    best = max((expected, *SHEETS), key=lambda kind: len(kind.keys & data.keys()))  # the first of equals
    least = len(data) if is_json else len(data) / 2
    if best is not expected and len(best.keys & data.keys()) >= least:
        return best
    return ANSWER if is_json and 2 * len(expected.keys & data.keys()) <= len(data) else None


def _by_marks(columns: Collection[str]) -> Kind | None:
    return next((kind for kind in TABLES if kind.marks <= set(columns)), None)


def _is_strange(data: Mapping[str, Any], expected: Kind) -> bool:
    known = list(expected.keys)
    return not any(key in expected.keys or difflib.get_close_matches(key, known, n=1) for key in data)


def _json(raw: bytes) -> Any:
    try:
        return json.loads(raw)
    except (ValueError, RecursionError):  # no JSON, no UTF-8, or nested without end
        return None


def _by_content(raw: bytes) -> Kind | None:
    """What is told by how a file begins."""
    begins = raw.removeprefix(b"\xef\xbb\xbf").lstrip()
    foreign = next((kind for magic, kind in FOREIGN.items() if begins.startswith(magic)), None)
    return foreign or _by_first_line(begins) or _scan(raw)


def _by_first_line(begins: bytes) -> Kind | None:
    """Lines of JSON, or a table with the names of its columns."""
    line, _, _ = begins.partition(b"\n")
    if isinstance(row := _json(line), dict):
        return _by_marks(row)
    head = line.decode(errors="replace").lower()
    rows = ([name.strip(' "\r') for name in head.split(separator)] for separator in ";\t,")
    return next((kind for columns in rows if (kind := _by_marks(columns))), None)


def _scan(raw: bytes) -> Kind | None:
    """A surface; one that is cut short, as by reading only its beginning, is one too."""
    try:
        sniff("", raw)
    except (TruncatedScan, DamagedScan, OversizedScan):
        return SCAN
    except ScanError:
        return None
    return SCAN
