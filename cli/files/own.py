"""Files that regrip made, told from those of others, so that none of another's is overwritten unasked.

What is written carries a mark where its form has a place for one; a table is known by the names of its columns.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from pathlib import Path

import click

from cli.exit import BadInput
from cli.files.desk import write_whole

MARK = b"made by regrip"
_ENDS = 4096
"""Bytes at either end of a file that are searched for the mark."""
_LAST_CHUNK = 12
"""Bytes of the chunk that ends a PNG (IEND)."""


def marked(content: str | bytes, suffix: str) -> bytes:
    """The content of a drawing, a page or a sheet with the mark in it, where its readers do not mind."""
    raw = content.encode() if isinstance(content, str) else content
    match suffix:
        case ".svg" | ".html":
            return raw.rstrip() + b"\n<!-- " + MARK + b" -->\n"
        case ".pdf":
            return raw.rstrip() + b"\n%" + MARK + b"\n"  # a comment
        case ".png":
            return raw[:-_LAST_CHUNK] + _text_chunk() + raw[-_LAST_CHUNK:]
        case _:
            return raw


def _text_chunk() -> bytes:
    """The mark as text of a PNG (ISO/IEC 15948, section 11.3.4.3)."""
    kind, data = b"tEXt", b"Software\0" + MARK
    return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")


def has_mark(path: Path) -> bool:
    """True where a file says that regrip made it; raises `OSError`."""
    with path.open("rb") as file:
        begins = file.read(_ENDS)
        file.seek(max(0, path.stat().st_size - _ENDS))
        return MARK in begins or MARK in file.read(_ENDS)


def begins_with(head: str) -> Callable[[Path], bool]:
    """Tells tables by their first line."""

    def does(path: Path) -> bool:
        with path.open("rb") as file:
            return file.read(len(head.encode()) + 1).rstrip(b"\r\n") == head.encode()

    return does


def needs_a_folder(path: Path) -> None:
    """Raise `BadInput` where a path is a folder, or lies in none that is there."""
    if path.is_dir() or not path.absolute().parent.is_dir():
        raise BadInput(f"{path} cannot be written", "name a file in a folder that exists")


def may_write(path: Path, *, force: bool, is_ours: Callable[[Path], bool] = has_mark) -> None:
    """Raise `BadInput` where a file is there that regrip did not make, unless `force` says to overwrite it.

    An empty file is nobody's. To be asked before the work, so that it is not done in vain.
    """
    needs_a_folder(path)
    if force or not path.is_file() or not path.stat().st_size or is_ours(path):
        return
    raise BadInput(
        f"{path} exists already, and regrip did not make it", "give `--force` to overwrite it, or another name"
    )


def write_marked(path: Path, content: str | bytes) -> None:
    """Write a file whole with the mark of its form, and say so on stderr; raises `OSError`."""
    write_whole(path, marked(content, path.suffix.lower()))
    wrote(path)


def wrote(path: Path) -> None:
    """Say on stderr that a file was written."""
    click.echo(f"regrip: wrote {click.format_filename(path)}", err=True)
