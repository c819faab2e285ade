"""A sign of life on stderr for whatever takes longer than a second; silent where nobody is watching."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import NamedTuple

PATIENCE_S = 1.0
_LOOK_S = 0.1


@contextmanager
def working(what: str) -> Iterator[Callable[[str], None]]:
    """Say `what` with a running clock once it has taken a second; nothing is shown when stderr is no terminal.

    What is yielded may be told how far the work is; that stands behind `what` from then on.
    """
    said = [what]

    def tell(so_far: str) -> None:
        said[0] = f"{what}: {so_far}"

    if not sys.stderr.isatty():
        yield tell
        return
    done = threading.Event()
    teller = threading.Thread(target=_show, args=(said, done), daemon=True)
    teller.start()
    try:
        yield tell
    finally:
        done.set()
        teller.join()


def searched(what: str, steps: Iterable[str]) -> bool:
    """Take every step of a search, each with a word on how far it is; false where Ctrl-C ended it before."""
    with working(what) as tell:
        try:
            for so_far in steps:
                tell(so_far)
        except KeyboardInterrupt:
            return False
    return True


def _show(said: list[str], done: threading.Event) -> None:
    if done.wait(PATIENCE_S):
        return
    from rich.console import Console  # noqa: PLC0415 - only for the patient
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn  # noqa: PLC0415

    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("", total=None)
        while True:
            progress.update(task, description=f"{said[0]}; Ctrl-C stops")
            if done.wait(_LOOK_S):
                return


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
