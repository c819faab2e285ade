"""The temporary file beside the one that is being written: whose it is, what rights it gets, and when it goes."""

from __future__ import annotations

import os
import platform
import re
import stat
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

PRIVATE = 0o600
_GROUP = 0o070


@contextmanager
def part_of(path: Path, mode: int | None = None) -> Iterator[Path]:
    """A temporary file to write into, that takes the place of `path` when all went well; raises `OSError`.

    It has the mode given, else mode and owner of what stands there, else those of any new file. What processes that
    are no more have left half-written beside `path` is taken away.
    """
    _take_away_stale(path)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f"{_before(path)}{_HERE}-{os.getpid()}-", suffix=".part")
    os.close(handle)
    part = Path(name)
    try:
        yield part
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        _give_rights(part, path, mode)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def _before(path: Path) -> str:
    return f".{path.name}."


_HERE = f"{zlib.crc32(platform.node().encode()):08x}"
"""This machine: in a shared folder the processes of another one are not ours to judge."""
_OURS = re.compile(_HERE + r"-(\d+)-\w+\.part")


def _take_away_stale(path: Path) -> None:
    before = _before(path)
    with suppress(OSError):  # a folder that cannot be looked into: writing will say so
        for name in os.listdir(path.parent):
            found = _OURS.fullmatch(name.removeprefix(before)) if name.startswith(before) else None
            if found and not _is_alive(int(found[1])):
                path.with_name(name).unlink(missing_ok=True)


def _is_alive(pid: int) -> bool:
    """False where there is surely no such process."""
    if os.name != "posix":
        return True  # elsewhere asking so would end it
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


def _give_rights(part: Path, path: Path, mode: int | None) -> None:
    if mode is not None:
        part.chmod(mode)
    elif path.exists():
        part.chmod(_as_before(part, path.stat()))
    else:
        umask = os.umask(0)
        os.umask(umask)
        part.chmod(0o666 & ~umask)


def _as_before(part: Path, before: os.stat_result) -> int:
    """The mode of the old file, once the new one belongs to the same; where that may not be, not for its group."""
    mode, now = stat.S_IMODE(before.st_mode), part.stat()
    if (now.st_uid, now.st_gid) == (before.st_uid, before.st_gid):
        return mode
    for owner in (before.st_uid, -1):
        with suppress(PermissionError):
            os.chown(part, owner, before.st_gid)
            return mode
    return mode & ~_GROUP
