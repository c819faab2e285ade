"""Surfaces are read by content, damaged ones refused with what to do, units asked for."""

from __future__ import annotations

import io
import random
import struct
import subprocess
import sys
import time
from itertools import cycle
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from solver.scan.errors import (
    DamagedScan,
    EmptyScan,
    OversizedScan,
    ScanError,
    TruncatedScan,
    UnknownFormat,
)
from solver.scan.surface import sniff
from solver.scan.surface.mesh import mesh_from_triangles
from solver.scan.surface.read import ScanFile, Unit, UnitQuestion, read_bytes, read_scan, unit_question
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
    monkeypatch.setattr("solver.scan.surface.read.PIECE_BYTES", 5_000)
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
    "noise": (bytes(random.Random(1).randbytes(5_000)), UnknownFormat),
    "noise that declares few triangles": (
        bytes(80) + struct.pack("<I", 3) + random.Random(2).randbytes(5_000), UnknownFormat),
    "text in UTF-16": (("case: bar\n" * 90).encode("utf-16-le"), UnknownFormat),
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


@pytest.fixture
def handed_on(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """What the library is given to unpack."""
    given: list[bytes] = []
    whole = trimesh.load_mesh

    def loads(file: io.BytesIO, **how: Any) -> Any:
        given.append(file.getvalue())
        return whole(file, **how)

    monkeypatch.setattr(trimesh, "load_mesh", loads)
    return given


def test_an_ascii_stl_of_many_solids_is_one_to_the_library(handed_on: list[bytes]) -> None:
    """One mesh for each of 60,000 solids took the library five minutes; their names may say anything."""
    solid = FILES["ASCII STL"].strip().splitlines()
    facets = [b"\n".join(solid[k : k + 7]) for k in range(1, len(solid) - 1, 7)]
    names = [b"", b" bar", b" facet", b" a facet of the normal bar", b"  x\r"]
    parts = [b"solid%b\n%b\nendsolid%b" % (name, f, name) for f, name in zip(facets, cycle(names), strict=False)]
    content = b"\n".join([*parts[:-1], parts[-1].replace(b"solid", b"SOLID"), b"solid empty\nendsolid empty"])

    np.testing.assert_allclose(read_bytes("bar.stl", content).mesh.triangles, BAR, atol=1e-6)
    assert [2] == [piece.lower().count(b"solid") for piece in handed_on]


def test_an_obj_of_many_groups_is_one_to_the_library(handed_on: list[bytes]) -> None:
    """Names of groups, objects and materials, normals and textures are left out: no figure comes of them."""
    content = (
        b"# a b\nmtllib x\nv 0 0 0\nv 20 0 0\nvt 0 0\nvn 0 0 1\ng one\nusemtl red\no first\n  f 1/1/1 2//1 \\\n 3\n"
        b"\tv 20 20 0\nv 0 20 0\ns off\ng two\nf 1 3/1 4/1\r\nl 1 2\nf -4 -3 -2"
    )
    mesh = read_bytes("groups.obj", content).mesh

    assert 3 == len(mesh.triangles)
    assert [[b"v"] * 4, [b"f"] * 3] == [
        sorted(line.split()[0] for piece in handed_on for line in piece.splitlines() if line.startswith(of))
        for of in (b"v", b"f")
    ]
    assert not any(b"/" in piece or b"usemtl" in piece for piece in handed_on)


def test_many_solids_and_groups_take_no_longer_than_one() -> None:
    """By the processor, ten times the time of one solid at most; it was hundreds of times."""
    solid = FILES["ASCII STL"].strip().splitlines()
    facet = b"\n".join(solid[1:8])
    one = b"solid a\n" + b"\n".join([facet] * 5000) + b"\nendsolid a\n"
    many = (b"solid a\n" + facet + b"\nendsolid a\n") * 5000
    corners = b"v 0 0 0\nv 20 0 0\nv 0 20 0\n"
    plain, grouped = corners + b"f 1 2 3\n" * 5000, corners + b"g a\nusemtl b\nf 1 2 3\n" * 5000

    for simple, parted in ((one, many), (plain, grouped)):
        assert _seconds(parted) < 10 * _seconds(simple) + 0.5


def _seconds(content: bytes) -> float:
    began = time.process_time()
    read_bytes("bar", content)
    return time.process_time() - began


MEMORY = """
import resource, struct, sys
import numpy as np
from solver.scan.surface.read import read_bytes

grid = np.arange(400_000, dtype=np.float32)
facets = np.zeros(400_000, dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
facets["v"][:, 1, 0], facets["v"][:, 2, 1], facets["v"][:, :, 2] = 1 + grid % 7, 2, grid[:, None] / 1e5
content = bytes(80) + struct.pack("<I", len(facets)) + facets.tobytes()
del grid, facets
read_bytes("bar.stl", content[:80] + struct.pack("<I", 1) + content[84:134])
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
read_bytes("bar.stl", content)
print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) * 1024 / len(content))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="memory is counted in other units elsewhere")
def test_a_binary_stl_takes_a_few_times_its_own_size() -> None:
    """Its corners once as they are reckoned with, and some passing work; it was fourteen times."""
    ran = subprocess.run([sys.executable, "-c", MEMORY], capture_output=True, text=True, check=True)

    assert float(ran.stdout) < 6


def test_text_is_refused_at_fewer_bytes_than_an_stl_that_is_read_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sniff, "MOST_WHOLE_BYTES", 1000)
    for name in ("OBJ", "ASCII PLY", "binary PLY"):
        with pytest.raises(OversizedScan, match="bytes, limit 1000; cut the scan down to the bar and thin it"):
            read_bytes("bar", FILES[name])
    assert len(BAR) == len(read_bytes("bar", FILES["ASCII STL"]).mesh.triangles)


@pytest.mark.parametrize("name", ["OBJ", "ASCII PLY"])
def test_too_many_triangles_in_text_are_refused_before_they_are_unpacked(
    monkeypatch: pytest.MonkeyPatch, handed_on: list[bytes], name: str
) -> None:
    monkeypatch.setattr(sniff, "MOST_TRIANGLES_IN_TEXT", 100)
    with pytest.raises(OversizedScan, match="triangles, limit 100"):
        read_bytes("bar.obj", FILES[name])
    assert [] == handed_on
    read_bytes("bar.ply", FILES["binary PLY"])


def test_too_many_triangles_are_refused_before_they_are_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sniff, "MOST_TRIANGLES", 100)
    with pytest.raises(OversizedScan):
        read_bytes("bar.stl", STL)


def test_too_large_file_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.scan.surface.read.MOST_BYTES", 1000)
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
