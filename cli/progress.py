"""A sign of life on stderr for whatever takes longer than a second; silent where nobody is watching."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import NamedTuple

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


class Tally(NamedTuple):
    """Takes note of what is done out of many: `done(3)` of them, or `skip()` one that was done before."""

    done: Callable[[int], object]
    skip: Callable[[], object]


@contextmanager
def counting(what: str, total: int) -> Iterator[Tally]:
    """A bar with count, rate and time left; nothing is shown when stderr is no terminal."""
    if not sys.stderr.isatty():
        yield Tally(lambda _: None, lambda: None)
        return
    from rich.console import Console  # noqa: PLC0415 - only for the patient
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn  # noqa: PLC0415

    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]}"),
        TimeRemainingColumn(),
        TextColumn("left; Ctrl-C stops"),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True, refresh_per_second=4) as progress:
        task = progress.add_task(what, total=total, rate="")

        def done(count: int) -> None:
            progress.update(task, advance=count)
            if speed := progress.tasks[0].speed:
                progress.update(task, rate=f"{speed:.1f}/s")

        def skip() -> None:
            progress.update(task, total=(progress.tasks[0].total or 1) - 1)

        yield Tally(done, skip)
