"""No command overwrites a file that regrip did not make, unless it is told to; what is written is said."""

from __future__ import annotations

import json
import struct
import zlib
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from cli.exit import BAD_INPUT
from cli.files.own import MARK, has_mark, marked
from tests.cli.ran import CASE, Run

THEIRS = b"somebody else's work\n"
ROW = {"file": "a.yaml", "digest": "0", "catalogue": "0", "version": "0", "asked": "0", "outcome": "fits", "exit": 0}
WRITERS = {
    "report": (["report", "case.yaml", "--only", "patient", "-o"], "sheet.html"),
    "drawing": (["report", "case.yaml", "-o"], "bar.svg"),
    "drawing in dots": (["report", "case.yaml", "-o"], "bar.png"),
    "drawing by the older name": (["draw", "case.yaml", "-o"], "old.svg"),
    "chart of a trade-off": (["what-if", "trade-off", "case.yaml", "-o"], "front.svg"),
    "schema": (["schema", "case", "-o"], "case.schema.json"),
    "order": (["stock", "order", "case.yaml", "--csv"], "order.csv"),
    "results": (["batch", "run", "case.yaml", "--workers", "1", "-o"], "rows.csv"),
    "results in lines": (["batch", "run", "case.yaml", "--workers", "1", "-o"], "rows.jsonl"),
    "example": (["example", "over-budget", "-o"], "example.yaml"),
}


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CASE)


@pytest.mark.parametrize(("command", "name"), WRITERS.values(), ids=WRITERS)
def test_only_what_regrip_made_is_overwritten(command: list[str], name: str, run: Run) -> None:
    path = Path(name)
    path.write_bytes(THEIRS)
    advice = "give `--force` to overwrite it, or another name"

    refused = run(*command, name)
    assert (BAD_INPUT, f"regrip: {name} exists already, and regrip did not make it; {advice}\n") == refused[::2]
    assert THEIRS == path.read_bytes()

    forced = run(*command, name, "--force")
    written = path.read_bytes()
    assert forced.code != BAD_INPUT
    assert THEIRS != written
    assert name in forced.err + forced.out

    again = run(*command, name)
    assert (forced.code, written) == (again.code, path.read_bytes())


def test_a_table_with_other_columns_is_not_ours(run: Run) -> None:
    Path("rows.csv").write_text("file,digest,outcome\n")
    Path("rows.jsonl").write_text(json.dumps(ROW | {"mix": []}) + "\n")

    for name in ("rows.csv", "rows.jsonl"):
        assert BAD_INPUT == run("batch", "run", "case.yaml", "-o", name).code


def test_an_empty_file_is_nobodys(run: Run) -> None:
    Path("case.schema.json").touch()

    assert (0, "regrip: wrote case.schema.json\n") == run("schema", "case", "-o", "case.schema.json")[::2]


def test_a_folder_that_is_not_there_is_told_before_the_work(run: Run) -> None:
    said = "gone/bar.svg cannot be written; name a file in a folder that exists"

    assert (BAD_INPUT, "", f"regrip: {said}\n") == run("what-if", "trade-off", "case.yaml", "-o", "gone/bar.svg")


def test_the_mark_leaves_a_drawing_what_it_is() -> None:
    svg = marked("<svg xmlns='http://www.w3.org/2000/svg'/>\n", ".svg")

    assert MARK in svg
    assert ET.fromstring(svg).tag.endswith("svg")


def test_the_mark_of_a_png_is_a_chunk_of_text(tmp_path: Path) -> None:
    """Each chunk read by its length and judged by its checksum, as ISO/IEC 15948 has it."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    dot = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    dot += chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")
    path = tmp_path / "dot.png"
    path.write_bytes(marked(dot, ".png"))

    raw, at, kinds = path.read_bytes(), 8, []
    while at < len(raw):
        (length,) = struct.unpack(">I", raw[at : at + 4])
        body = raw[at + 4 : at + 8 + length]
        assert struct.unpack(">I", raw[at + 8 + length : at + 12 + length])[0] == zlib.crc32(body)
        kinds.append(body[:4])
        at += 12 + length
    assert [b"IHDR", b"IDAT", b"tEXt", b"IEND"] == kinds
    assert has_mark(path)


def test_a_pdf_with_the_mark_is_still_read(tmp_path: Path) -> None:
    weasyprint = pytest.importorskip("weasyprint", reason="the extra `report` is not installed")
    pypdf = pytest.importorskip("pypdf")
    path = tmp_path / "a.pdf"
    path.write_bytes(marked(weasyprint.HTML(string="<p>text</p>").write_pdf(), ".pdf"))

    assert has_mark(path)
    assert "text" == pypdf.PdfReader(path).pages[0].extract_text().strip()
