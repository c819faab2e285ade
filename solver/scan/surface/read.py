"""Read an STL, PLY or OBJ surface safely: bounded memory, typed errors, units asked for and not assumed.

The unpacking itself is left to the optional library `trimesh`; the checks before and after it are ours.
"""

from __future__ import annotations

import io
import logging
import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

import numpy as np

from solver.scan.errors import DamagedScan, EmptyScan, OversizedScan, ReaderMissing, UnitOpen
from solver.scan.surface.mesh import Array, Mesh, mesh_from_triangles
from solver.scan.surface.sniff import MOST_BYTES, MOST_TRIANGLES, STL_HEADER, Format, sniff

MOST_UNITS = 1e7  # a bar in micrometres, ten times over from the origin, is far below
_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
PIECE_BYTES = 2_000_000  # of an ASCII STL unpacked at a time
BAR_DIAGONAL_MM = (6.0, 400.0)  # a scan of a bar, with or without the arch: choice, no source
# The library tells of broken content on its own logger, traceback and all; the error raised here says it once.
logging.getLogger("trimesh").addHandler(logging.NullHandler())


class Unit(Enum):
    """Length of the file's unit in mm."""

    MICROMETRE = 0.001
    MILLIMETRE = 1.0
    CENTIMETRE = 10.0
    INCH = 25.4
    METRE = 1000.0


UNITS = {
    "mm": Unit.MILLIMETRE, "um": Unit.MICROMETRE, "cm": Unit.CENTIMETRE, "inch": Unit.INCH, "m": Unit.METRE,
}  # fmt: skip
"""Units by the names that people write."""


@dataclass(frozen=True, slots=True)
class UnitQuestion:
    """The size of the scan speaks against millimetres; which unit is it?"""

    diagonal: float
    candidates: tuple[Unit, ...]

    def __str__(self) -> str:
        names = ", ".join(unit.name.lower() for unit in self.candidates) or "none that fits a bar"
        return f"the scan is {self.diagonal:.4g} units across; in millimetres that is no bar: is the unit {names}?"


@dataclass(frozen=True, slots=True)
class ScanFile:
    """What was read. With an open question the mesh keeps the numbers of the file, unscaled."""

    mesh: Mesh
    question: UnitQuestion | None


def read_scan(path: Path, unit: Unit | None = None) -> ScanFile:
    """Read the surface at `path`; `unit` is the user's answer to a `UnitQuestion`.

    Raises a `ScanError`: empty, cut short, oversized, damaged or unknown content, or no mesh library.
    An unreadable path raises OSError as usual.
    """
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise OversizedScan(path.name, size, MOST_BYTES, "bytes")
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)  # a device has no size of its own
    if len(data) > MOST_BYTES:
        raise OversizedScan(path.name, len(data), MOST_BYTES, "bytes")
    return read_bytes(path.name, data, unit)


def read_in_mm(path: Path, unit: str | None = None) -> Mesh:
    """The surface at `path` in mm; `unit` is one of `UNITS`, or None where nobody has said.

    Raises `UnitOpen` where its size makes no bar in the given unit (or mm), and what `read_scan` raises.
    """
    read = read_scan(path, UNITS[unit] if unit else None)
    question = unit_question(read.mesh.diagonal_mm)
    if question is None:
        return read.mesh
    raw = read.mesh.diagonal_mm / (UNITS[unit].value if unit else 1.0)
    fitting = candidates(raw)
    raise UnitOpen(path.name, raw, unit or "mm", tuple(name for name, one in UNITS.items() if one in fitting))


def read_bytes(name: str, data: bytes, unit: Unit | None = None) -> ScanFile:
    """As `read_scan`, from the content of a file."""
    kind = sniff(name, data)
    pieces = [_unpack(name, piece, kind) for piece in _pieces(data, kind)]
    if not pieces:
        raise EmptyScan(name)
    triangles = pieces[0] if len(pieces) == 1 else np.concatenate(pieces)
    if not -MOST_UNITS < triangles.min() <= triangles.max() < MOST_UNITS:  # false for what is no number as well
        raise DamagedScan(name, f"some coordinates are no numbers below {MOST_UNITS:.0e}")
    mesh = mesh_from_triangles(triangles)
    if not len(mesh.triangles):
        raise EmptyScan(name)
    if unit is not None:
        return ScanFile(Mesh(mesh.triangles * unit.value), None)
    return ScanFile(mesh, unit_question(mesh.diagonal_mm))


def unit_question(diagonal: float) -> UnitQuestion | None:
    """The question to ask where `diagonal` units as mm are no bar; the candidates would make it one."""
    least, most = BAR_DIAGONAL_MM
    if least <= diagonal <= most:
        return None
    return UnitQuestion(diagonal, candidates(diagonal))


def candidates(diagonal: float) -> tuple[Unit, ...]:
    """The units in which `diagonal` makes a bar."""
    least, most = BAR_DIAGONAL_MM
    return tuple(unit for unit in Unit if least <= diagonal * unit.value <= most)


def _pieces(data: bytes, kind: Format) -> Iterator[bytes]:
    """The file whole, or an ASCII STL in pieces between triangles (unpacked text takes 8 times its size).

    Each piece is one mesh: the library takes a time that grows with the square of their number.
    """
    if kind is not Format.STL_ASCII:
        yield _as_one_group(data) if kind is Format.OBJ else data
        return
    start, ends = 0, re.compile(rb"endfacet", re.IGNORECASE)
    while match := ends.search(data, min(start + PIECE_BYTES, len(data))) or ends.search(data, start):
        more = start + PIECE_BYTES < len(data)
        stop = match.end() if more else start + data[start:].lower().rfind(b"endfacet") + len(b"endfacet")
        facets = data[start:stop]
        facets = _BETWEEN_SOLIDS.sub(b"\n", facets[max(facets.lower().find(b"facet"), 0) :])
        yield b"solid piece\n" + facets + b"\nendsolid\n"
        start = stop


_BETWEEN_SOLIDS = re.compile(rb"\bendsolid\b.*?(?=\bfacet\s+normal\s+[-+.\d])", re.IGNORECASE | re.DOTALL)
_NEITHER_CORNER_NOR_FACE = re.compile(rb"^(?![ \t]*[vf][ \t]).*(?:\n|\Z)", re.MULTILINE)


def _as_one_group(obj: bytes) -> bytes:
    """An OBJ with its corners and faces alone, no word of groups, materials, normals and textures."""
    lines = _NEITHER_CORNER_NOR_FACE.sub(b"", obj.replace(b"\\\r\n", b" ").replace(b"\\\n", b" "))
    return re.sub(rb"(?m)^[ \t]+|/\S*", b"", lines)


def _unpack(name: str, data: bytes, kind: Format) -> Array:
    """Triangles, shape (n, 3, 3), float64."""
    if kind is Format.STL_BINARY:  # its size was checked; by way of the library it takes fourteen times that
        return np.frombuffer(data, _FACET, offset=STL_HEADER)["corners"].astype(np.float64)
    try:
        import trimesh  # noqa: PLC0415 (optional, and slow to import)
    except ImportError as missing:
        raise ReaderMissing("trimesh") from missing
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            loaded = trimesh.load_mesh(
                io.BytesIO(data), file_type=kind.value, process=False, resolver=None, skip_materials=True
            )
            vertices = np.asarray(loaded.vertices, dtype=np.float64).reshape(-1, 3)
            faces = np.asarray(loaded.faces).reshape(-1, 3)
    except Exception as broken:  # a foreign parser fails on broken content in any way, also by faults of its own
        raise DamagedScan(name, f"its {kind.value} content cannot be parsed ({broken})"[:160]) from broken
    if not len(faces):
        raise EmptyScan(name)
    if len(faces) > MOST_TRIANGLES:
        raise OversizedScan(name, len(faces), MOST_TRIANGLES, "triangles")
    if faces.min() < 0 or faces.max() >= len(vertices):
        raise DamagedScan(name, f"a triangle names corner {int(faces.max())} of {len(vertices)}")
    triangles: Array = vertices[faces]
    return triangles
