"""Surfaces are read by content, damaged ones refused with what to do, units asked for."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.scan import sniff
from solver.scan.errors import (
    DamagedScan,
    EmptyScan,
    OversizedScan,
    ScanError,
    TruncatedScan,
    UnknownFormat,
)
from solver.scan.mesh import mesh_from_triangles
from solver.scan.read import ScanFile, Unit, UnitQuestion, read_bytes, read_scan, unit_question
from tests.solver.scan import meshes as m

BAR = mesh_from_triangles(m.prism(m.circle(1.0), 10.0, 0.5)).triangles


def exported(kind: str, encoding: str = "binary") -> bytes:
    corners = BAR.reshape(-1, 3)
    mesh = trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=False)
    content = mesh.export(file_type=kind, encoding=encoding) if kind == "ply" else mesh.export(file_type=kind)
    return content if isinstance(content, bytes) else str(content).encode()


FILES = {
    "binary STL": exported("stl"),
    "ASCII STL": exported("stl_ascii"),
    "binary PLY": exported("ply"),
    "ASCII PLY": exported("ply", encoding="ascii"),
    "OBJ": exported("obj"),
    "binary STL whose header says solid": b"solid bar".ljust(80) + exported("stl")[80:],
    "ASCII STL with CR LF": exported("stl_ascii").replace(b"\n", b"\r\n"),
    "ASCII STL in capitals": exported("stl_ascii").upper(),
}


@pytest.mark.parametrize("name", FILES)
def test_every_format_gives_the_same_triangles(name: str) -> None:
    read = read_bytes("bar", FILES[name]).mesh.triangles

    assert len(BAR) == len(read)
    np.testing.assert_allclose(read, BAR, atol=1e-6)


def test_long_ascii_stl_is_read_in_pieces_without_loss(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.scan.read.PIECE_BYTES", 5_000)
    np.testing.assert_allclose(read_bytes("bar", FILES["ASCII STL"]).mesh.triangles, BAR, atol=1e-6)


def test_obj_with_polygons_and_triangles_is_split_into_triangles() -> None:
    mixed = b"v 0 0 0\nv 20 0 0\nv 20 20 0\nv 0 20 0\nv 0 0 9\nf 1 2 3 4\nf 1 2 5\n"
    mesh = read_bytes("mixed.obj", mixed).mesh

    assert 3 == len(mesh.triangles)


def ply(form: str, corners: int, faces: int, body: bytes) -> bytes:
    head = (
        f"ply\nformat {form} 1.0\nelement vertex {corners}\nproperty float x\nproperty float y\nproperty float z\n"
        f"element face {faces}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    return head.encode() + body


STL = FILES["binary STL"]
BROKEN: dict[str, tuple[bytes, type[ScanError]]] = {
    "empty": (b"", EmptyScan),
    "blank": (b"\0" * 84, EmptyScan),
    "STL cut short": (STL[: len(STL) // 2], TruncatedScan),
    "STL of 4 thousand million triangles": (STL[:80] + struct.pack("<I", 2**32 - 1) + STL[84:], TruncatedScan),
    "STL with bytes after it": (STL + b"\1" * 5000, DamagedScan),
    "STL with no triangle of any area": (STL[:80] + struct.pack("<I", 2) + b"\0" * 100, EmptyScan),
    "ASCII STL cut short": (FILES["ASCII STL"][:-3000], TruncatedScan),
    "ASCII STL with words for numbers": (
        b"solid a\nfacet normal 0 0 1\nouter loop\nvertex a b c\nvertex 1 0 0\nvertex 0 1 0\n"
        b"endloop\nendfacet\nendsolid a\n",
        DamagedScan,
    ),
    "ASCII STL without facets": (b"solid a\nendsolid a\n", EmptyScan),
    "PLY cut short": (FILES["binary PLY"][:-900], TruncatedScan),
    "PLY of 10^12 corners": (ply("binary_little_endian", 10**12, 1, b"\0" * 99), TruncatedScan),
    "ASCII PLY of 10^12 faces": (ply("ascii", 1, 10**12, b"0 0 0\n"), TruncatedScan),
    "PLY that names a missing corner": (ply("ascii", 3, 1, b"0 0 0\n9 0 0\n0 9 0\n3 0 1 900000\n"), DamagedScan),
    "PLY without an end to its header": (b"ply\nformat ascii 1.0\n", DamagedScan),
    "PLY with a negative count": (ply("ascii", -3, 1, b"0 0 0\n"), DamagedScan),
    "OBJ that names a missing corner": (b"v 0 0 0\nv 9 0 0\nv 0 9 0\nf 1 2 99999999\n", DamagedScan),
    "OBJ without faces": (b"v 0 0 0\nv 9 0 0\nv 0 9 0\n", EmptyScan),
    "OBJ with a coordinate that is no number": (b"v nan inf 0\nv 9 0 0\nv 0 9 0\nf 1 2 3\n", DamagedScan),
    "PLY with a slip in its header": (
        ply("ascii", 3, 1, b"0 0 0\n9 0 0\n0 9 0\n3 0 1 2\n").replace(b" list", b" lis"), DamagedScan),
    "ASCII STL without an end of a facet": (
        b"solid a\nfacet normal 0 0 1\n| loop\nendsolid a\nvertex 0 0 0", EmptyScan),
    "text": (b"Dear colleague, please find the bar enclosed.\n", UnknownFormat),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"\0" * 40, UnknownFormat),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_broken_file_is_refused_by_its_own_error(name: str) -> None:
    content, error = BROKEN[name]
    with pytest.raises(error) as caught:
        read_bytes("scan.stl", content)

    assert str(caught.value).startswith("scan.stl: ")


def test_the_library_is_silent_about_broken_content(capfd: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(DamagedScan):
        read_bytes(
            "bar.stl", b"solid a\nfacet normal 0 0 e1\nouter loop\nvertex 0 0 x\nendloop\nendfacet\nendsolid\n"
        )

    assert ("", "") == tuple(capfd.readouterr())


def test_error_says_what_is_wrong_and_what_to_do() -> None:
    with pytest.raises(TruncatedScan) as caught:
        read_bytes("bar.stl", STL[: 84 + 50 * 7 + 10])

    assert (
        f"bar.stl: declares {len(BAR)} triangles but holds at most 7; the file was cut short or altered: "
        "copy or export it again"
    ) == str(caught.value)


def test_too_many_triangles_are_refused_before_they_are_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sniff, "MOST_TRIANGLES", 100)
    with pytest.raises(OversizedScan):
        read_bytes("bar.stl", STL)


def test_too_large_file_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.scan.read.MOST_BYTES", 1000)
    (tmp_path / "bar.stl").write_bytes(STL)
    with pytest.raises(OversizedScan):
        read_scan(tmp_path / "bar.stl")


def test_material_files_named_in_an_obj_are_not_opened(tmp_path: Path) -> None:
    read_bytes("bar.obj", FILES["OBJ"])  # whatever the library itself opens once has been opened
    content = f"mtllib {tmp_path / 'secret'}\n".encode() + FILES["OBJ"]
    opened: list[str] = []

    with pytest.MonkeyPatch.context() as patch:
        for place in ("builtins.open", "io.open"):
            patch.setattr(place, lambda *a, **k: opened.append(str(a[0])))
        read_bytes("bar.obj", content)

    assert [] == opened


@settings(max_examples=150, deadline=None)
@given(
    name=st.sampled_from(sorted(FILES)),
    cut=st.floats(0.0, 1.0),
    places=st.lists(st.integers(0, 1 << 30), max_size=6),
    values=st.lists(st.integers(0, 255), min_size=6, max_size=6),
)
def test_any_damage_gives_a_mesh_or_a_typed_error(
    name: str, cut: float, places: list[int], values: list[int]
) -> None:
    content = bytearray(FILES[name][: int(len(FILES[name]) * cut)])
    for place, value in zip(places, values, strict=False):
        if content:
            content[place % min(len(content), 2000)] = value
    try:
        result = read_bytes("fuzzed", bytes(content))
    except ScanError:
        return

    assert isinstance(result, ScanFile)
    assert np.isfinite(result.mesh.triangles).all()


UNITS = [
    (40.0, None),
    (0.04, (Unit.METRE,)),
    (1.6, (Unit.CENTIMETRE, Unit.INCH)),
    (4.0e4, (Unit.MICROMETRE,)),
    (1e9, ()),
]


@pytest.mark.parametrize(("diagonal", "candidates"), UNITS)
def test_size_that_is_no_bar_in_millimetres_is_a_question(
    diagonal: float, candidates: tuple[Unit, ...] | None
) -> None:
    question = unit_question(diagonal)

    assert (None if candidates is None else UnitQuestion(diagonal, candidates)) == question


def test_answered_unit_scales_and_open_question_does_not() -> None:
    metres = BAR / 1000
    record = np.zeros(len(BAR), dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
    record["v"] = metres
    content = b"\0" * 80 + struct.pack("<I", len(BAR)) + record.tobytes()

    asked, answered = read_bytes("m.stl", content), read_bytes("m.stl", content, Unit.METRE)

    assert asked.question is not None
    assert asked.mesh.diagonal_mm < 0.02
    assert answered.question is None
    np.testing.assert_allclose(answered.mesh.triangles, BAR, atol=1e-5)
