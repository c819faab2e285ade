"""One command at a time changes a file."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from filelock import FileLock, Timeout

from cli.exit import BadInput

PATIENCE_S = 30
"""So long a command waits for another one."""


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Nobody else who asks for the same file changes it meanwhile; waits for its turn. Raises `BadInput`, `OSError`.

    The lock is an empty file beside it, with its rights. It stays, as those who wait have it open.
    """
    where = path.resolve()
    if not where.parent.is_dir():  # the lock would make it
        raise OSError(errno.ENOENT, "cannot be written: no such file or directory", str(path))
    mode = where.stat().st_mode & 0o666 if where.exists() else -1
    lock = FileLock(where.with_name(f".{where.name}.lock"), PATIENCE_S, mode)
    try:
        lock.acquire()
    except Timeout:
        raise BadInput(f"{path} is being changed by another command", "try again when that has ended") from None
    except OSError as error:
        raise OSError(error.errno, f"cannot be locked: {error.strerror}", str(path)) from None
    try:
        yield
    finally:
        lock.release()
