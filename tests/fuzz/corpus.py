"""The texts that fuzzing starts from: the project's own examples, and small scans."""

from __future__ import annotations

import struct
from pathlib import Path

from tests.cli.ran import CASE

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
OVERLAY = b"""\
sources: {shop: {kind: common-practice, text: a price list}}
attachments:
  ball-ring-2.25: {price: {low: 20, high: 24, source: shop}, packs: [{pieces: 2}]}
  clip-round-metal-5: null
reworks:
  deepen-undercut: {work: {bench: [10, 20], source: shop}}
defaults: {hold_n: {value: 12, source: shop}}
"""
PLY = (
    b"ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nproperty float y\nproperty float z\n"
    b"element face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n9 0 0\n0 9 0\n3 0 1 2\n"
)
OBJ = b"v 0 0 0\nv 9 0 0\nv 0 9 0\nf 1 2 3\n"
STL = (
    b"solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 9 0 0\nvertex 0 9 0\nendloop\nendfacet\n"
    b"endsolid a\n"
)


def cases() -> list[bytes]:
    """Every example case, and the small one of the tests."""
    return [CASE.encode(), *(path.read_bytes() for path in sorted(EXAMPLES.glob("*.yaml")))]


def overlays() -> list[bytes]:
    """A catalogue that is laid over the starter."""
    return [OVERLAY]


def scans() -> list[bytes]:
    """One triangle in each format."""
    binary = bytes(80) + struct.pack("<I", 1) + struct.pack("<12fH", 0, 0, 1, 0, 0, 0, 9, 0, 0, 0, 9, 0, 0)
    return [PLY, OBJ, STL, binary]
