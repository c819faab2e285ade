"""Jobs in a line before one worker. Of the same question only the newest is worked out, and it answers all who wait.

So nobody computes what is already out of date, and however fast many tabs type, every one of them is answered.
"""

from __future__ import annotations

import asyncio
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias

from cli.page.asked import Asked, Outcome, Stopped
from cli.page.worker import Works

Key: TypeAlias = tuple[str, tuple[tuple[str, str], ...]]
OVERDUE_S = 2.0
"""A job that has run so long is ended when a newer one of its kind waits."""


class Answered(NamedTuple):
    """What came of a job, and of which state of the case it speaks."""

    revision: int
    outcome: Outcome


@dataclass
class _Waiting:
    asked: Asked
    revision: int
    futures: list[asyncio.Future[Answered]] = field(default_factory=list)


class Line:
    """One worker and those who wait for it; made inside a running event loop."""

    def __init__(self, worker: Works) -> None:
        self._worker = worker
        self._waiting: OrderedDict[Key, _Waiting] = OrderedDict()
        self._wake = asyncio.Event()
        self._now: tuple[Key, _Waiting, float] | None = None
        self._task = asyncio.create_task(self._run())

    async def ask(self, asked: Asked, revision: int) -> Answered:
        """The answer for this state of the case or a newer one."""
        key = (asked.job, tuple(sorted(asked.more.items())))
        waiting = self._waiting.setdefault(key, _Waiting(asked, revision))
        if revision >= waiting.revision:
            waiting.asked, waiting.revision = asked, revision
        future: asyncio.Future[Answered] = asyncio.get_running_loop().create_future()
        waiting.futures.append(future)
        self._wake.set()
        if self._now and self._now[0] == key and time.monotonic() - self._now[2] > OVERDUE_S:
            self.stop()
        return await future

    def stop(self) -> None:
        """End the job under way."""
        if self._now:
            self._worker.stop()
            self._worker.start()

    def close(self) -> None:
        """No more jobs; all who wait are told."""
        self._task.cancel()
        self._worker.stop()
        for waiting in (*self._waiting.values(), *([self._now[1]] if self._now else [])):
            _tell(waiting, Stopped())
        self._waiting.clear()

    async def _run(self) -> None:
        while True:
            await self._wake.wait()
            key, waiting = self._waiting.popitem(last=False)
            if not self._waiting:
                self._wake.clear()
            self._now = (key, waiting, time.monotonic())
            outcome = await self._worker.do(waiting.asked)
            self._now = None
            _tell(waiting, outcome)


def _tell(waiting: _Waiting, outcome: Outcome) -> None:
    for future in waiting.futures:
        if not future.done():
            future.set_result(Answered(waiting.revision, outcome))
