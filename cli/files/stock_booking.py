"""Goods received: the stock file is written whole, and a journal that only grows says what came in and went out.

The journal's line is written and synced first, with the hash of the stock file before and after. If the program dies
between the two, the stock file still has the hash `before`; the same command then writes it, and nothing is booked
twice.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from cli.exit import BadInput
from cli.files.desk import write_whole
from cli.files.file_kinds import ORDER, STOCK
from cli.files.reading import read_as
from cli.files.yaml_editing import dumped, editor
from solver.buying.order_file import OrderFile, read_order, received_pieces
from solver.buying.receive import ShortStock, received
from solver.buying.stock import Stock, read_stock
from solver.errors import InternalFault


def journal_of(stock: Path) -> Path:
    """Where the journal of a stock file stands, unless said."""
    return stock.with_name(f"{stock.stem}.journal.jsonl")


def receive(order_path: Path, stock_path: Path, journal: Path, catalogue: Catalogue, on: date) -> dict[str, Any]:
    """Book an order as received; the line of the journal. Raises `InputError`, and `BadInput` where it was booked."""
    order = read_order(read_as(ORDER, order_path))
    with _alone(journal):
        document = read_as(STOCK, stock_path)
        text = stock_path.read_text(encoding="utf-8-sig")
        stock, before = read_stock(document, catalogue), _hash(text)
        known = next((line for line in _lines(journal) if line["order"] == order.order), None)
        if known and known["before"] != before:
            raise BadInput(f"order {order.order} was received on {known['on']}", "an order is received once")
        day = date.fromisoformat(known["on"]) if known else on
        after = _rewritten(text, str(stock_path), stock, _booked(stock, order, day), catalogue)
        if known and known["after"] != _hash(after):
            raise BadInput(f"order {order.order} was begun on {known['on']} and cannot be finished", f"see {journal}")
        line = known or _line(order, day, before, _hash(after))
        if not known:
            _append(journal, line)
        write_whole(stock_path, after)
    return line


def _booked(stock: Stock, order: OrderFile, on: date) -> Stock:
    try:
        return received(stock, order, on)
    except ShortStock as error:
        problem = f"the order takes {error.wanted} of {error.part} from stock, and {error.there} are usable"
        raise BadInput(problem, "count the stock, or make the order anew") from None


def _line(order: OrderFile, on: date, before: str, after: str) -> dict[str, Any]:
    return {
        "order": order.order,
        "on": on.isoformat(),
        "received": dict(received_pieces(order)),
        "kits": list(order.kits),
        "from_stock": order.from_stock,
        "into_stock": order.left_over,
        "before": before,
        "after": after,
    }


def _rewritten(text: str, name: str, old: Stock, new: Stock, catalogue: Catalogue) -> str:
    """The stock file with the lots that changed, everything else as it was written; read again as a check."""
    yaml = editor(width=4096)
    written = yaml.load(text) or {}
    parts = written.setdefault("parts", {})
    for part, shelf in new.parts.items():
        if shelf != old.parts.get(part):
            lots = [lot.model_dump(mode="json", exclude_none=True) for lot in shelf.lots]
            parts.setdefault(part, {})["lots"] = [
                {**lot, "expires": date.fromisoformat(lot["expires"])} if "expires" in lot else lot for lot in lots
            ]
    if new.kits != old.kits:
        written["kits"] = list(new.kits)
    rewritten = dumped(yaml, written)
    if read_stock(parse_yaml(rewritten, name), catalogue) != new:
        raise InternalFault(f"{name} would not read back as it should")
    return rewritten


def _lines(journal: Path) -> Iterator[dict[str, Any]]:
    """Whole lines. A torn last line is of a run that died before it touched the stock; it counts for nothing."""
    for line in journal.read_text(encoding="utf-8").splitlines():
        try:
            read = json.loads(line)
        except json.JSONDecodeError:
            continue
        if isinstance(read, dict) and {"order", "on", "before", "after"} <= set(read):
            yield read


def _append(journal: Path, line: dict[str, Any]) -> None:
    torn = journal.stat().st_size and not journal.read_bytes().endswith(b"\n")
    with journal.open("a", encoding="utf-8") as file:
        file.write(("\n" if torn else "") + json.dumps(line, ensure_ascii=False, sort_keys=True) + "\n")
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def _alone(journal: Path) -> Iterator[None]:
    """One run at a time books into a journal; where the system has no such locks, nothing is locked."""
    with journal.open("a", encoding="utf-8") as file:
        try:
            import fcntl  # noqa: PLC0415 - POSIX only
        except ImportError:
            yield
            return
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
