"""What a surface file is and whether it can hold what it declares, before any of it is unpacked."""

from __future__ import annotations

import math
import re
import struct
from enum import StrEnum

from solver.scan.errors import DamagedScan, EmptyScan, OversizedScan, TruncatedScan, UnknownFormat

MOST_BYTES = 400_000_000
MOST_WHOLE_BYTES = 200_000_000  # of what is not unpacked in pieces
MOST_TRIANGLES = 3_000_000  # a bar measured in so many takes about a gigabyte
MOST_TRIANGLES_IN_TEXT = 1_500_000  # the library takes twice as much for these
STL_HEADER, STL_FACET = 84, 50
PLY_HEADER_LIMIT = 65_536
FACETS_LOOKED_AT, NORMAL_ERROR = 100, 0.05
SCALAR_BYTES = {
    **dict.fromkeys(["char", "uchar", "int8", "uint8"], 1),
    **dict.fromkeys(["short", "ushort", "int16", "uint16"], 2),
    **dict.fromkeys(["int", "uint", "int32", "uint32", "float", "float32"], 4),
    **dict.fromkeys(["double", "float64"], 8),
}


class Format(StrEnum):
    """File formats told apart by content, never by the file name."""

    STL_BINARY = "stl"
    STL_ASCII = "stl_ascii"
    PLY = "ply"
    OBJ = "obj"


def sniff(name: str, data: bytes) -> Format:
    """The format of `data`; raises a `ScanError` where it is none, cut short, or declares too much."""
    if not re.search(rb"[^\0 \r\n\t]", data):
        raise EmptyScan(name)
    if data[:3] == b"ply":
        _limit(name, len(data), MOST_WHOLE_BYTES, "bytes")
        _check_ply(name, data)
        return Format.PLY
    head = data[:2048].lower()
    if _binary_stl_size(data) == len(data):
        _limit(name, (len(data) - STL_HEADER) // STL_FACET)
        return Format.STL_BINARY
    if head.lstrip().startswith(b"solid") and b"\0" not in head:
        _check_ascii_stl(name, data)
        return Format.STL_ASCII
    if b"\0" not in data and re.search(rb"^v\s+[-+.\d]", data, re.MULTILINE):
        _limit(name, len(data), MOST_WHOLE_BYTES, "bytes")
        _limit(name, max(data.count(b"\nf "), data.count(b"\nv ")), MOST_TRIANGLES_IN_TEXT)
        return Format.OBJ
    if b"\0" in data:
        _refuse_binary(name, data)
    raise UnknownFormat(name)


def _binary_stl_size(data: bytes) -> int:
    return STL_HEADER + STL_FACET * int.from_bytes(data[80:84], "little")


def _refuse_binary(name: str, data: bytes) -> None:
    """A binary file that is no PLY: an STL whose size belies its count, or nothing known."""
    if not _begins_with_facets(data):
        raise UnknownFormat(name)
    declared, found = int.from_bytes(data[80:84], "little"), (len(data) - STL_HEADER) // STL_FACET
    if len(data) > STL_HEADER and declared > found:
        raise TruncatedScan(name, declared, found, "triangles")
    if 0 < declared < found:
        raise DamagedScan(name, f"{found - declared} triangles' worth of bytes after the {declared} declared")
    raise UnknownFormat(name)


def _begins_with_facets(data: bytes) -> bool:
    """True where what follows the header could be triangles of an STL: each with a normal of length 1, or of none.

    Numbers of a scan are known to this: a picture, a text in UTF-16 or noise is not taken for one that was cut short.
    """
    whole = min((len(data) - STL_HEADER) // STL_FACET, FACETS_LOOKED_AT)
    facets = (struct.unpack_from("<12f", data, STL_HEADER + k * STL_FACET) for k in range(whole))
    return all(_is_unit_or_none(facet[:3]) and all(abs(x) < 1e12 for x in facet) for facet in facets)


def _is_unit_or_none(normal: tuple[float, ...]) -> bool:
    length = math.hypot(*normal)
    return not any(normal) or abs(length - 1.0) < NORMAL_ERROR


def _check_ascii_stl(name: str, data: bytes) -> None:
    lower = data[-512:].lower()
    if b"facet" not in data[:4096].lower():
        raise EmptyScan(name)
    facets = sum(1 for _ in re.finditer(rb"endfacet", data, re.IGNORECASE))
    declared = sum(1 for _ in re.finditer(rb"outer\s+loop", data, re.IGNORECASE))
    if declared != facets or b"endsolid" not in lower:
        raise TruncatedScan(name, max(declared, facets + 1), facets, "triangles")
    _limit(name, facets)


def _check_ply(name: str, data: bytes) -> None:
    """Compare each declared count with the fewest bytes it needs."""
    end = data.find(b"end_header", 0, PLY_HEADER_LIMIT)
    if end < 0:
        raise DamagedScan(name, "its header does not end")
    header = data[:end].decode("ascii", errors="replace").split("\n")
    binary = any(line.startswith("format binary") for line in header)
    room = len(data) - end - len("end_header\n")
    for kind, count, least in _ply_elements(name, header, binary):
        if count * least > room:
            raise TruncatedScan(name, count, room // least, kind)
        _limit(name, count, MOST_TRIANGLES if binary else MOST_TRIANGLES_IN_TEXT)
        room -= count * least


def _ply_elements(name: str, header: list[str], binary: bool) -> list[tuple[str, int, int]]:
    """(element, declared count, fewest bytes of one) in file order."""
    elements: list[tuple[str, int, int]] = []
    for line in header:
        words = line.split()
        if words[:1] == ["property"] and len(words) < (5 if words[1:2] == ["list"] else 3):
            raise DamagedScan(name, f"header line `{line.strip()[:60]}` is incomplete")
        if words[:1] == ["element"] and len(words) == 3 and words[2].isdigit():
            elements.append((words[1], int(words[2]), 0))
        elif words[:1] == ["element"]:
            raise DamagedScan(name, f"header line `{line.strip()[:60]}` gives no count")
        elif words[:1] == ["property"] and elements:
            kind, count, least = elements[-1]
            elements[-1] = (kind, count, least + (_property_bytes(words, kind) if binary else 2))
    return [(kind, count, max(least, 1)) for kind, count, least in elements]


def _property_bytes(words: list[str], element: str) -> int:
    """Fewest bytes of a binary property; the corner list of a face has at least three entries."""
    if words[1:2] == ["list"]:
        corners = 3 if element == "face" and words[-1].startswith("vertex_ind") else 0
        return SCALAR_BYTES.get(words[2], 1) + corners * SCALAR_BYTES.get(words[3], 1)
    return SCALAR_BYTES.get(words[1], 1)


def _limit(name: str, count: int, most: int | None = None, what: str = "triangles") -> None:
    most = MOST_TRIANGLES if most is None else most
    if count > most:
        raise OversizedScan(name, count, most, what)
