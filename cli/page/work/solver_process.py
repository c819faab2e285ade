"""The solver in a process of its own: the page stays quick while it works, and it can be stopped at any moment."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
import signal
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import NamedTuple, Protocol

from cli.page.work.messages import Asked, Outcome, Stopped, Unfit

YIELDS = 1
"""Steps of niceness of all that is not the plan: that goes first, and yet a busy machine comes to the drawing."""
YIELDS_MOST = 5
"""Of what takes long: typing goes on meanwhile."""
TRIES = 2
_SPAWN = multiprocessing.get_context("spawn")


class Works(Protocol):
    """Does one job at a time."""

    def start(self) -> None:
        """Begin to load, so that the first job need not wait."""

    async def ready(self) -> None:
        """Wait until it has loaded; raises `OSError` where it cannot be started."""

    async def do(self, asked: Asked) -> Outcome:
        """One job; raises `OSError` where it cannot be started."""
        ...

    def stop(self) -> None:
        """End the job under way, which comes back as `Stopped`, and be ready for the next."""


class Crew(NamedTuple):
    """Who works: at the plan, at what may take many seconds, and at all else."""

    quick: Works
    slow: Works
    long: Works


def crew_of(overlays: tuple[str, ...]) -> Crew:
    """A process for each."""
    return Crew(Worker(overlays), Worker(overlays, YIELDS), Worker(overlays, YIELDS_MOST))


@dataclass
class _Running:
    """A process, our end of the pipe to it, and whether it has said that it is ready."""

    process: multiprocessing.process.BaseProcess
    end: Connection
    loaded: bool = False


class Worker:
    """A process of its own, that yields by so many steps; started anew for the first job after it was stopped."""

    def __init__(self, overlays: tuple[str, ...], yields: int = 0) -> None:
        self._overlays, self._yields = overlays, yields
        self._running: _Running | None = None

    def start(self) -> None:
        """Begin to load."""
        self._process()

    async def ready(self) -> None:
        """Wait until it has loaded, or was stopped at that."""
        await self._loaded(self._process())

    async def do(self, asked: Asked) -> Outcome:
        """One job, in the process; begun once more where that has ended by itself, for whatever reason."""
        for _ in range(TRIES):
            running = self._process()
            await self._loaded(running)
            outcome = await asyncio.to_thread(_exchange, running.end, asked) if running.loaded else None
            if outcome is not None:
                return outcome
            if self._running is not running:
                return Stopped()
            self.stop()
        return Unfit("the solver has ended by itself", "ask again", True)

    def stop(self) -> None:
        """End the process."""
        if self._running:
            process, self._running = self._running.process, None
            process.kill()
            process.join()

    async def _loaded(self, running: _Running) -> None:
        if not running.loaded:
            running.loaded = await asyncio.to_thread(_has_loaded, running.end)

    def _process(self) -> _Running:
        if self._running is None or not self._running.process.is_alive():
            here, there = _SPAWN.Pipe()
            process = _SPAWN.Process(target=_serve, args=(there, self._overlays, self._yields), daemon=True)
            process.start()
            there.close()
            self._running = _Running(process, here)
        return self._running


def _has_loaded(end: Connection) -> bool:
    try:
        return bool(end.recv())
    except (EOFError, OSError):
        return False


def _exchange(end: Connection, asked: Asked) -> Outcome | None:
    """The job; None where the process ends meanwhile."""
    try:
        end.send(asked)
        outcome: Outcome = end.recv()
    except (EOFError, OSError):
        return None
    return outcome


def _serve(end: Connection, overlays: tuple[str, ...], yields: int) -> None:
    """The life of the process: until the page goes away."""
    if yields and hasattr(os, "nice"):
        os.nice(yields)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the page, which ends this process
    from cli.page.work.answer_cache import Library  # noqa: PLC0415 - the solver is slow to load, and needed only here
    from cli.page.work.jobs import attempt  # noqa: PLC0415 - the solver is slow to load, and needed only here

    library = Library(overlays)
    with contextlib.suppress(EOFError, OSError):
        end.send(True)
        while True:
            end.send(attempt(end.recv(), library))
