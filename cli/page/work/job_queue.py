"""Jobs in a line before one worker. Of the same question only the newest is worked out, and it answers all who wait.

So nobody computes what is already out of date, and however fast many tabs type, every one of them is answered. That
work was stopped is told only where a person stopped it.
"""

from __future__ import annotations

import asyncio
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeAlias

from cli.page.work.messages import Asked, Outcome, Stopped, Unfit
from cli.page.work.solver_process import Works

Key: TypeAlias = tuple[str, tuple[tuple[str, str], ...]]
OVERDUE_S = 2.0
"""A job that has run so long is ended when a newer one of its kind waits, or others wait and nobody wants it."""
LOOK_S = 0.25


class Answered(NamedTuple):
    """What came of a job, and of which state of the case it speaks."""

    revision: int
    outcome: Outcome


@dataclass
class _Waiting:
    asked: Asked
    revision: int
    futures: list[asyncio.Future[Answered]] = field(default_factory=list)

    @property
    def wanted(self) -> bool:
        """False where all who asked have gone or were told."""
        return not all(future.done() for future in self.futures)

    def newer(self, asked: Asked, revision: int) -> None:
        """The same question about another state of the case; the newest counts."""
        if revision >= self.revision:
            self.asked, self.revision = asked, revision

    def tell(self, outcome: Outcome) -> None:
        """To all who wait."""
        for future in self.futures:
            if not future.done():
                future.set_result(Answered(self.revision, outcome))


@dataclass
class _Now:
    """The job under way; `began` is None until the worker has begun with it, and again once it was ended."""

    key: Key
    waiting: _Waiting
    began: float | None = None

    def answers(self, key: Key, asked: Asked) -> bool:
        """True where the same is asked again, of the same text, while it is being worked out."""
        return self.began is not None and (self.key, self.waiting.asked) == (key, asked)

    @property
    def overdue(self) -> bool:
        """True where it has run long."""
        return self.began is not None and time.monotonic() - self.began >= OVERDUE_S


class Line:
    """One worker and those who wait for it; made inside a running event loop."""

    def __init__(self, worker: Works) -> None:
        self._worker = worker
        self._waiting: OrderedDict[Key, _Waiting] = OrderedDict()
        self._wake = asyncio.Event()
        self._now: _Now | None = None
        self._task = asyncio.create_task(self._run())

    async def ask(self, asked: Asked, revision: int) -> Answered:
        """The answer for this state of the case or a newer one."""
        key = (asked.job, tuple(sorted(asked.more.items())))
        if self._now and self._now.answers(key, asked):
            waiting = self._now.waiting
        else:
            waiting = self._waiting.setdefault(key, _Waiting(asked, revision))
        waiting.newer(asked, revision)
        future: asyncio.Future[Answered] = asyncio.get_running_loop().create_future()
        waiting.futures.append(future)
        self._wake.set()
        return await future

    def stop(self, job: str) -> None:
        """A person ends the job of that name, under way or still waiting: those who wait for it are told at once."""
        if self._now and self._now.key[0] == job:
            self._now.waiting.tell(Stopped())
            self._end(self._now)
            return
        for key in [key for key in self._waiting if key[0] == job]:
            self._waiting.pop(key).tell(Stopped())

    def standing(self) -> dict[str, Any]:
        """For one who looks for a fault: the job under way, for how long, for whom, and what waits."""
        now = self._now
        return {
            "now": now and {
                "job": now.key, "revision": now.waiting.revision, "wanted": now.waiting.wanted,
                "seconds": None if now.began is None else round(time.monotonic() - now.began, 2),
            },
            "waiting": [{"job": key, "revision": one.revision} for key, one in self._waiting.items()],
            "ended": self._task.done(),
        }  # fmt: skip

    def close(self) -> None:
        """No more jobs; all who wait are told."""
        self._task.cancel()
        self._worker.stop()
        for waiting in (*self._waiting.values(), *([self._now.waiting] if self._now else [])):
            waiting.tell(Stopped())
        self._waiting.clear()

    async def _run(self) -> None:
        while True:
            await self._wake.wait()
            self._wake.clear()
            while self._waiting:
                key, waiting = self._waiting.popitem(last=False)
                self._now = _Now(key, waiting)
                outcome = await self._outcome(self._now)
                self._now = None
                self._tell(key, waiting, outcome)

    async def _outcome(self, now: _Now) -> Outcome:
        """The job worked out. What comes in while the worker loads takes its place, and loading is no delay of it."""
        try:
            await self._worker.ready()
            if newer := self._waiting.pop(now.key, None):
                now.waiting.newer(newer.asked, newer.revision)
                now.waiting.futures += newer.futures
            if not now.waiting.wanted:
                return Stopped()
            now.began = time.monotonic()
            job = asyncio.ensure_future(self._worker.do(now.waiting.asked))
            while not (await asyncio.wait({job}, timeout=LOOK_S))[0]:
                if now.overdue and self._is_in_the_way(now):
                    self._end(now)
            return job.result()
        except OSError as error:
            return Unfit(f"the solver cannot be started: {(error.strerror or 'failed').lower()}", "ask again", True)

    def _is_in_the_way(self, now: _Now) -> bool:
        return now.key in self._waiting or (bool(self._waiting) and not now.waiting.wanted)

    def _end(self, now: _Now) -> None:
        if now.began is not None:
            now.began = None
            self._worker.stop()
            self._worker.start()

    def _tell(self, key: Key, waiting: _Waiting, outcome: Outcome) -> None:
        """Those whose job was ended for a newer one wait for that."""
        if isinstance(outcome, Stopped) and key in self._waiting:
            self._waiting[key].futures += waiting.futures
        else:
            waiting.tell(outcome)
