"""A sign of life on stderr for whatever takes longer than a second; silent where nobody is watching."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

PATIENCE_S = 1.0


@contextmanager
def working(what: str) -> Iterator[None]:
    """Say `what` with a running clock once it has taken a second; nothing is shown when stderr is no terminal."""
    if not sys.stderr.isatty():
        yield
        return
    done = threading.Event()
    teller = threading.Thread(target=_tell, args=(what, done), daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def _tell(what: str, done: threading.Event) -> None:
    if done.wait(PATIENCE_S):
        return
    from rich.console import Console  # noqa: PLC0415 - only for the patient
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn  # noqa: PLC0415

    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        progress.add_task(f"{what}; Ctrl-C stops", total=None)
        done.wait()
