"""A file of the wrong kind is told in one line: what it seems to be, and which command takes it."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from tests.cli.orders import CLIPS, STOCK, SUPPLIERS
from tests.cli.ran import CASE, Run

STL = (
    b"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 9 0 0\nvertex 0 9 0\nendloop\nendfacet\n"
    b"endsolid\n"
)
ROW = '{"file":"a.yaml","digest":"0","catalogue":"0","outcome":"fits","exit":0}\n'

SEEMS = {
    "case": (CASE, "a case", "`regrip plan` takes it"),
    "case with slips": (CASE.replace("room:", "romo:"), "a case", "`regrip plan` takes it"),
    "catalogue": (
        "attachments: {ball-ring: {price: {low: 1}}}",
        "a catalogue file", "`regrip catalogue check` takes it, and `--catalogue`"),
    "outlook": ("cases_per_month: 4\nmix: []\n", "an outlook", "`regrip stock forecast` takes it"),
    "stock": (STOCK, "a stock file", "`--stock` of `regrip stock order` takes it"),
    "suppliers": (SUPPLIERS, "a suppliers file", "`--suppliers` of `regrip stock order` takes it"),
    "points": (
        "forwards: [0, 1, 0]\nsupports: {S1: {at: [1, 2, 3]}}\n",
        "a points file", "`--points` of `regrip measure` takes it"),
    "price list": (
        "attachment;price;currency\nball-ring;3;EUR\n", "a price list", "`regrip catalogue prices` takes it"),
    "results, one line": (ROW, "the results of a batch", "`regrip batch summary` takes them"),
    "results, lines": (ROW * 2, "the results of a batch", "`regrip batch summary` takes them"),
    "results, table": ("file,digest,outcome\n", "the results of a batch", "`regrip batch summary` takes them"),
    "results, columns": (b"PAR1\x15\x04\x00", "the results of a batch", "`regrip batch summary` takes them"),
    "journal": (
        '{"ms":1.0,"row":{}}\n' * 2, "the journal of a batch", "`regrip batch` finds it by itself"),
    "journal of a stock": (
        '{"order":"a","on":"2026-01-01","before":"0","after":"1"}\n',
        "the journal of a stock file", "`regrip stock receive` finds it by itself"),
    "scan in letters": (STL, "a scan", "`regrip measure` takes it"),
    "scan in bytes": (
        bytes(80) + struct.pack("<I12fH", 1, 0, 0, 1, 0, 0, 0, 9, 0, 0, 0, 9, 0, 0),
        "a scan", "`regrip measure` takes it"),
    "large scan": (b"v 0.125 0.25 0.5\n" * 80_000, "a scan", "`regrip measure` takes it"),
    "scan of points": (
        b"ply\nformat ascii 1.0\nelement vertex 0\nend_header\n", "a scan", "`regrip measure` takes it"),
}  # fmt: skip
"""Files of our own: content, what they are, and where they go."""

FOREIGN = {
    "pdf": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "a PDF"),
    "photo": (b"\xff\xd8\xff\xe0\x00\x10JFIF", "a picture"),
    "drawing": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "a picture"),
    "chart": (b"<?xml version='1.0'?>\n<svg/>", "a drawing or another XML file"),
    "web page": (b"<!doctype html>\n<title>x</title>", "a web page"),
    "spreadsheet": (b"PK\x03\x04\x14\x00", "an office or zip file"),
    "answer": (b'{"status": "fits", "mix": {}, "cost": null}', "an answer of `--json`"),
}

TAKERS = {
    "plan": ("plan FILE", "a case", "`regrip new` writes one"),
    "check": ("check FILE", "a case", "`regrip new` writes one"),
    "why": ("why FILE", "a case", "`regrip new` writes one"),
    "give": ("give FILE", "a case", "`regrip new` writes one"),
    "ask": ("ask FILE", "a case", "`regrip new` writes one"),
    "vary": ("vary FILE --set money.cap=1", "a case", "`regrip new` writes one"),
    "trade": ("trade FILE", "a case", "`regrip new` writes one"),
    "strategies": ("strategies FILE", "a case", "`regrip new` writes one"),
    "report": ("report FILE -o new.html", "a case", "`regrip new` writes one"),
    "draw": ("draw FILE -o new.svg", "a case", "`regrip new` writes one"),
    "order": ("order FILE", "a case", "`regrip new` writes one"),
    "into": ("measure bar.stl --into FILE -o new.yaml", "a case", "`regrip new` writes one"),
    "cases": ("catalogue diff starter starter --cases FILE", "a case", "`regrip new` writes one"),
    "catalogue": ("plan case.yaml -c FILE", "a catalogue file", "`regrip schema catalogue` lists its keys"),
    "catalogue check": ("catalogue check FILE", "a catalogue file", "`regrip schema catalogue` lists its keys"),
    "catalogue diff": ("catalogue diff starter FILE", "a catalogue file", "`regrip schema catalogue` lists its keys"),
    "repriced": (
        "catalogue prices prices.csv -c FILE", "a catalogue file", "`regrip schema catalogue` lists its keys"),
    "forecast": ("forecast FILE", "an outlook", "`regrip schema outlook` lists its keys"),
    "stock": ("order case.yaml --stock FILE", "a stock file", "`regrip schema stock` lists its keys"),
    "suppliers": ("order case.yaml --suppliers FILE", "a suppliers file", "`regrip schema suppliers` lists its keys"),
    "receive": ("order --receive FILE --stock stock.yaml", "an order", "`regrip stock order --json` writes one"),
    "points": (
        "measure bar.stl --arch lower --points FILE -o new.yaml", "a points file", "docs/scan.md lists its keys"),
    "measure": (
        "measure FILE --arch lower -o new.yaml", "a scan", "export the surface as STL, PLY or OBJ"),
    "prices": (
        "catalogue prices FILE -o new.yaml",
        "a price list", "its first line names the columns: attachment, price, currency"),
    "summary": ("summary FILE", "the results of a batch", "`regrip batch` writes them"),
}  # fmt: skip
"""Commands with the place of a file, what it should be, and how one comes about."""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CLIPS)
    Path("stock.yaml").write_text(STOCK)
    Path("bar.stl").write_bytes(STL)
    Path("prices.csv").write_text("attachment,price,currency\nball-ring,3,EUR\n")


def _written(content: str | bytes) -> None:
    Path("FILE").write_bytes(content.encode() if isinstance(content, str) else content)


@pytest.mark.parametrize(("command", "wanted", "made"), TAKERS.values(), ids=TAKERS)
@pytest.mark.parametrize(("content", "name", "goes"), SEEMS.values(), ids=SEEMS)
def test_a_file_of_another_command(
    run: Run, content: str | bytes, name: str, goes: str, command: str, wanted: str, made: str
) -> None:
    """Whatever it should have been; where it is of the right kind nothing is said about kinds."""
    _written(content)

    code, out, err = run(*command.split(" "))

    if name == wanted:
        assert "seems to be" not in err
    else:
        assert (BAD_INPUT, "") == (code, out)
        assert f"FILE:1:1: seems to be {name}, not {wanted}; {goes}\n" == err


@pytest.mark.parametrize(("command", "wanted", "made"), TAKERS.values(), ids=TAKERS)
@pytest.mark.parametrize(("content", "name"), FOREIGN.values(), ids=FOREIGN)
def test_a_file_that_no_command_takes(
    run: Run, content: bytes, name: str, command: str, wanted: str, made: str
) -> None:
    _written(content)

    assert (BAD_INPUT, "", f"FILE:1:1: seems to be {name}, not {wanted}; {made}\n") == run(*command.split(" "))


EMPTY = {
    name: taker
    for name, taker in TAKERS.items()
    if taker[1] not in ("a catalogue file", "a stock file", "a points file")
}


@pytest.mark.parametrize(("command", "wanted", "made"), EMPTY.values(), ids=EMPTY)
@pytest.mark.parametrize("content", ["", "\n \n", "# words alone\n"], ids=["nothing", "blanks", "a comment"])
def test_an_empty_file(run: Run, content: str, command: str, wanted: str, made: str) -> None:
    """A catalogue file that changes nothing, an empty stock and no points are possible; all else says something."""
    _written(content)

    assert (BAD_INPUT, "", f"FILE:1:1: is empty, not {wanted}; {made}\n") == run(*command.split(" "))


@pytest.mark.parametrize(("command", "wanted", "made"), TAKERS.values(), ids=TAKERS)
def test_a_folder(run: Run, command: str, wanted: str, made: str) -> None:
    Path("FILE").mkdir()

    code, out, err = run(*command.split(" "))

    assert (BAD_INPUT, "", 1) == (code, out, err.count("\n"))
    assert "FILE:1:1: is a folder" in err or "FILE: is a directory" in err


STRANGE = ["plan", "forecast", "suppliers", "receive", "points", "stock", "catalogue check"]


@pytest.mark.parametrize(("command", "wanted", "made"), [TAKERS[name] for name in STRANGE], ids=STRANGE)
def test_a_file_of_something_else(run: Run, command: str, wanted: str, made: str) -> None:
    _written("hooks: []\nfoo: {x: 1}\nzzz: 1\n")

    said = f"FILE:1:1: is not {wanted}: it has none of its keys; {made}\n"
    assert (BAD_INPUT, "", said) == run(*command.split(" "))


def test_a_batch_reports_such_a_file_and_stops_no_other(run: Run) -> None:
    _written(STOCK)

    code, out, _ = run("batch", "case.yaml", "FILE", "-o", "rows.jsonl", "--json")

    line = "FILE:1:1: seems to be a stock file, not a case; `--stock` of `regrip stock order` takes it"
    assert BAD_INPUT == code
    assert line in out
    assert '"fits"' in Path("rows.jsonl").read_text()


ANSWERS = (
    "plan case.yaml", "give case.yaml", "ask case.yaml", "check case.yaml --put A=clip-spring", "why case.yaml",
    "why case.yaml A clip-spring", "vary case.yaml --set money.cap=90", "vary case.yaml --set money.cap=50..90/20",
    "trade case.yaml", "strategies case.yaml", "catalogue list", "catalogue show ball-ring", "catalogue check",
    "catalogue diff starter starter", "batch case.yaml -o rows.csv", "plan gone.yaml",
)  # fmt: skip


@pytest.mark.parametrize("command", ANSWERS)
@pytest.mark.parametrize("taker", ["plan", "forecast"])
def test_every_answer_for_machines_is_known_again(run: Run, command: str, taker: str) -> None:
    _written(run(*command.split(" "), "--json").out)

    command, wanted, made = TAKERS[taker]
    said = f"FILE:1:1: seems to be an answer of `--json`, not {wanted}; {made}\n"
    assert (BAD_INPUT, "", said) == run(*command.split(" "))


NO_TEXT = {
    "UTF-16": ("case: Größe\narch: lower\n".encode("utf-16"), "FILE:1:1: is UTF-16 text; save the file as UTF-8\n"),
    "UTF-16, long": (
        ("case: x\n" * 90).encode("utf-16-le"), "FILE:1:1: is UTF-16 text; save the file as UTF-8\n"),
    "noise": (bytes(range(250, 0, -1)) * 40, "FILE:1:1: is not UTF-8 text; save the file as UTF-8\n"),
    "noise with nulls": (
        b"\xff" + bytes(90) + bytes(range(255, -1, -1)) * 40,
        "FILE:1:1: is not UTF-8 text; save the file as UTF-8\n"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "said"), NO_TEXT.values(), ids=NO_TEXT)
def test_bytes_that_say_nothing_are_called_nothing(run: Run, content: bytes, said: str) -> None:
    """They were called a scan."""
    Path("FILE").write_bytes(content)

    for command in ("plan FILE", "forecast FILE", "plan case.yaml -c FILE"):
        assert (BAD_INPUT, "", said) == run(*command.split(" "))


def test_an_order_is_known_again(run: Run) -> None:
    _written(run("order", "case.yaml", "--json").out)

    said = "FILE:1:1: seems to be an order, not a case; `regrip stock receive` takes it\n"
    assert (BAD_INPUT, "", said) == run("plan", "FILE")


def test_a_line_nested_without_end_is_no_fault(run: Run) -> None:
    _written('{"a":' * 100_000)

    assert (BAD_INPUT, "", "FILE:1:206: is nested more than 40 levels deep\n") == run("plan", "FILE")


def test_a_case_written_as_json_is_a_case(run: Run) -> None:
    _written('{"case": "x", "arch": "lower", "monney": {}, "supports": {"S1": {"tooth": 43}}}')

    assert "FILE:1:32: monney: `monney` is not known here; did you mean `money`?" in run("plan", "FILE").err
