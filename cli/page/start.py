"""Where a case can begin: an example, another file of the folder, or a few answers about the jaw and the implants."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from string import ascii_uppercase
from typing import TYPE_CHECKING, Any

from catalogue.mistakes import InputError
from catalogue.yaml_text import Document, plain
from cli.exit import BadInput
from cli.files.case_text import case_text
from cli.files.examples import cases
from cli.interview.prompts import Unusable
from cli.page.document.recovery import names_kept
from cli.page.form.entry import MOST_LETTERS, Said, read
from solver.case.layout import Layout
from solver.case.reading import read_case

if TYPE_CHECKING:
    from cli.page.session import Sitting

MOST_FILES = 200


async def begun(sitting: Sitting, said: Mapping[str, str]) -> None:
    """Open what was chosen; raises `Unusable`, `BadInput`, `InputError` or `OSError` where it cannot be."""
    match said.get("from"):
        case "new":
            await sitting.open_new(new_case(said))
        case "example":
            path = next((one for one in cases() if one.stem == said.get("example")), None)
            if path is None:
                raise BadInput("there is no such example", "choose one of the list")
            await sitting.open_new(path.read_text(encoding="utf-8"))
        case "file":
            if said.get("file") not in cases_beside(sitting.shelf.path):
                raise BadInput("there is no such file in this folder", "choose one of the list")
            await sitting.open_beside(said["file"])
        case _:
            raise BadInput("nothing was chosen", "choose an example or a file, or name the implants")


def cases_beside(path: Path) -> tuple[str, ...]:
    """Names of other cases in the folder of one: its YAML files, and what was never saved but is kept."""
    names = {one.name for one in path.parent.glob("*.y*ml") if one.is_file() and not one.is_symlink()}
    names |= {name for name in names_kept(path.parent) if not path.with_name(name).exists()}
    return tuple(name for name in sorted(names) if name != path.name and not name.startswith("."))[:MOST_FILES]


def new_case(said: Mapping[str, str]) -> str:
    """The text of a case from a few answers; raises `Unusable`."""
    teeth = re.findall(r"[^\s,;]+", said.get("teeth", "")[:MOST_LETTERS])
    if not teeth:
        raise Unusable("no implant is named", "write their teeth by FDI, for instance 43 33")
    if again := next((tooth for tooth in teeth if teeth.count(tooth) > 1), None):
        raise Unusable(f"{again} stands twice", "name every implant once")
    supports = {f"S{number}": {"tooth": plain(tooth)} for number, tooth in enumerate(teeth, 1)}
    data: dict[str, Any] = {
        "case": read("text", Said(said.get("title", ""))) or "A bar",
        "arch": said.get("arch", "lower"),
        "supports": supports,
        "money": {
            "currency": said.get("currency", "EUR").strip().upper(),
            "bench_per_hour": read("amount", Said(said.get("bench", ""))) or 0,
            "chair_per_hour": read("amount", Said(said.get("chair", ""))) or 0,
        },
    }
    _judge(data)
    if said.get("joined") == "yes":
        data = _with_bar(data)
        _judge(data)
    return case_text(data)


def _with_bar(data: dict[str, Any]) -> dict[str, Any]:
    """Bar between neighbours, from the patient's right to the left."""
    places = Layout(read_case(Document("new", data, {}, {}))).supports
    in_order = sorted(places, key=lambda name: float(places[name][0]))
    segments = {
        name: {"between": list(pair)} for name, pair in zip(ascii_uppercase, pairwise(in_order), strict=False)
    }
    before = {key: value for key, value in data.items() if key != "money"}
    return {**before, **({"segments": segments} if segments else {}), "money": data["money"]}


def _judge(data: dict[str, Any]) -> None:
    try:
        read_case(Document("new", data, {}, {}))
    except InputError as error:
        first = error.mistakes[0]
        raise Unusable(first.problem, first.advice) from None
