"""The solver in a process of its own: the page stays quick while it works, and it can be stopped at any moment."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
import signal
from multiprocessing.connection import Connection
from typing import Protocol

from cli.page.asked import Asked, Outcome, Stopped

_SPAWN = multiprocessing.get_context("spawn")


class Works(Protocol):
    """Does one job at a time."""

    def start(self) -> None:
        """Begin to load, so that the first job need not wait."""

    async def do(self, asked: Asked) -> Outcome:
        """One job."""
        ...

    def stop(self) -> None:
        """End the job under way, which comes back as `Stopped`, and be ready for the next."""


class Worker:
    """A process of its own; started anew for the first job after it was stopped."""

    def __init__(self, overlays: tuple[str, ...], *, yielding: bool = False) -> None:
        self._overlays, self._yielding = overlays, yielding
        self._running: tuple[multiprocessing.process.BaseProcess, Connection] | None = None

    def start(self) -> None:
        """Begin to load."""
        self._process()

    async def do(self, asked: Asked) -> Outcome:
        """One job, in the process."""
        return await asyncio.to_thread(_exchange, self._process(), asked)

    def stop(self) -> None:
        """End the process."""
        if self._running:
            process, _ = self._running
            self._running = None
            process.kill()
            process.join()

    def _process(self) -> Connection:
        if self._running is None or not self._running[0].is_alive():
            here, there = _SPAWN.Pipe()
            process = _SPAWN.Process(target=_serve, args=(there, self._overlays, self._yielding), daemon=True)
            process.start()
            there.close()
            self._running = (process, here)
        return self._running[1]


def _exchange(end: Connection, asked: Asked) -> Outcome:
    try:
        end.send(asked)
        outcome: Outcome = end.recv()
    except (EOFError, OSError):
        return Stopped()
    return outcome


def _serve(end: Connection, overlays: tuple[str, ...], yielding: bool) -> None:
    """The life of the process: until the page goes away. A `yielding` one lets all others go first."""
    if yielding and hasattr(os, "nice"):
        os.nice(5)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the page, which ends this process
    from cli.page.answers import Library  # noqa: PLC0415 - the solver is slow to load, and needed only here
    from cli.page.jobs import attempt  # noqa: PLC0415 - the solver is slow to load, and needed only here

    library = Library(overlays)
    with contextlib.suppress(EOFError, OSError):
        while True:
            end.send(attempt(end.recv(), library))
