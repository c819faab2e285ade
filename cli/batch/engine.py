"""Where chunks of cases are planned: processes of this machine, or whatever else can take work and give futures."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Protocol, TypeAlias

from cli.batch.row import failed
from cli.batch.worker import Done, Setting, Task, plan_chunk, prepare, settle_in

Chunk: TypeAlias = tuple[Task, ...]

TWICE_LOST = "the worker process died over this case, alone too; it may need more memory than there is"


class Lost(Exception):
    """A worker died and its work with it."""


class Engine(Protocol):
    """Takes chunks, plans some of them at a time."""

    @property
    def width(self) -> int:
        """Chunks that keep every worker busy."""

    def submit(self, chunk: Chunk) -> Future[tuple[Done, ...]]:
        """Begin a chunk."""

    def result(self, future: Future[tuple[Done, ...]]) -> tuple[Done, ...]:
        """What became of a chunk; raises `Lost`."""

    def alone(self, task: Task) -> Done:
        """Plan a case where it can take no other down with it; raises `Lost`."""


def spread(
    engine: Engine, setting: Setting, chunks: Iterable[Chunk], stop: threading.Event
) -> Iterator[Sequence[Done]]:
    """Plan all chunks, in no order, few of them read ahead; after `stop` only what was begun.

    The cases of a worker that died are planned again one by one; one that takes its worker down again is a fault.
    """
    waiting: dict[Future[tuple[Done, ...]], Chunk] = {}
    coming = iter(chunks)
    while True:
        while len(waiting) < engine.width and not stop.is_set() and (chunk := next(coming, None)):
            waiting[engine.submit(chunk)] = chunk
        if not waiting:
            return
        for future in wait(waiting, return_when=FIRST_COMPLETED).done:
            chunk = waiting.pop(future)
            try:
                yield engine.result(future)
            except Lost:
                for task in () if stop.is_set() else chunk:
                    yield (_alone(engine, setting, task),)


def _alone(engine: Engine, setting: Setting, task: Task) -> Done:
    try:
        return engine.alone(task)
    except Lost:
        return Done(failed(task.file, task.digest, setting.stamp, "fault", [TWICE_LOST]), 0.0)


class Processes:
    """Worker processes of this machine, started afresh (spawn) so that they share nothing but what they are sent."""

    def __init__(self, setting: Setting, workers: int) -> None:
        self._setting, self._workers = setting, workers
        self._pool, self._single = self._started(workers), self._started(1)

    def __enter__(self) -> Processes:
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(cancel_futures=True)
        self._single.shutdown()

    def _started(self, workers: int) -> ProcessPoolExecutor:
        spawn = multiprocessing.get_context("spawn")
        return ProcessPoolExecutor(workers, spawn, _begin, (self._setting,))

    @property
    def width(self) -> int:
        """One chunk in hand and one ready for every worker."""
        return 2 * self._workers

    def submit(self, chunk: Chunk) -> Future[tuple[Done, ...]]:
        """Begin a chunk, in new processes where the old ones were lost."""
        try:
            return self._given(self._pool, chunk)
        except BrokenProcessPool:
            self._pool = self._started(self._workers)
            return self._given(self._pool, chunk)

    def _given(self, pool: ProcessPoolExecutor, chunk: Chunk) -> Future[tuple[Done, ...]]:
        with _deaf_children():
            return pool.submit(plan_chunk, self._setting.stamp, chunk)

    def result(self, future: Future[tuple[Done, ...]]) -> tuple[Done, ...]:
        """What became of a chunk; raises `Lost`."""
        try:
            return future.result()
        except BrokenProcessPool:
            raise Lost from None

    def alone(self, task: Task) -> Done:
        """Plan a case in the one process that has nothing else to do; raises `Lost`."""
        try:
            return self.result(self._given(self._single, (task,)))[0]
        except Lost:
            self._single = self._started(1)
            raise


@contextmanager
def _deaf_children() -> Iterator[None]:
    """Ctrl-C reaches whole process groups; workers started in here never hear it and finish what they have begun."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin(setting: Setting) -> None:
    """A worker ends at once when the run that started it has ended, and prepares itself but once."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    prepare(setting)
    settle_in()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
