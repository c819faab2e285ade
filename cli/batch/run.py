"""A batch from end to end: what is planned already is kept, the rest goes through the engine into the journal."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import islice, takewhile
from math import ceil
from types import FrameType

from catalogue.mistakes import InputError
from cli.batch.engine import Chunk, Engine, spread
from cli.batch.files import task_of
from cli.batch.journal import Journal
from cli.batch.row import failed
from cli.batch.worker import Done, Setting, Task
from cli.progress import Tally

MOST_IN_CHUNK = 8
"""Half a second of work: long beside what it costs to hand it out, short beside the patience of Ctrl-C."""


@dataclass(slots=True)
class Ran:
    """What a run did: cases planned and kept, processor time of the planned ones, and whether it was stopped."""

    planned: int = 0
    kept: int = 0
    ms: float = 0.0
    stopped: bool = False

    @property
    def ms_per_case(self) -> float:
        """Processor time, mean of the planned ones."""
        return round(self.ms / self.planned, 1) if self.planned else 0.0


class Batch:
    """The cases of one run; `files` in order of name."""

    def __init__(self, files: Sequence[str], setting: Setting, journal: Journal, tally: Tally) -> None:
        self.files, self.setting, self.journal, self.tally = files, setting, journal, tally
        self.ran = Ran()

    def through(self, engine: Engine) -> Ran:
        """Plan what is not planned yet; raises `OSError` where the journal cannot be written."""
        size = max(1, min(MOST_IN_CHUNK, ceil(len(self.files) / (2 * engine.width))))
        with stopped_by_signal() as stop:
            for done in spread(engine, self.setting, self._chunks(size, stop), stop):
                self._book(done)
        self.ran.stopped = self.ran.planned + self.ran.kept < len(self.files)
        return self.ran

    def _book(self, done: Sequence[Done]) -> None:
        self.journal.add(done)
        self.ran.planned += len(done)
        self.ran.ms += sum(one.ms for one in done)
        self.tally.done(len(done))

    def _chunks(self, size: int, stop: threading.Event) -> Iterator[Chunk]:
        tasks = self._to_plan(takewhile(lambda _: not stop.is_set(), self.files))
        while chunk := tuple(islice(tasks, size)):
            yield chunk

    def _to_plan(self, files: Iterable[str]) -> Iterator[Task]:
        """Files are read one after the other as the engine asks for them; one that cannot be read is booked here."""
        for file in files:
            try:
                task = task_of(file)
            except InputError as error:
                texts = [str(mistake) for mistake in error.mistakes]
                self._book((Done(failed(file, None, self.setting.stamp, "bad-file", texts), 0.0),))
                continue
            if self.journal.holds(file, task.digest, self.setting.stamp):
                self.ran.kept += 1
                self.tally.skip()
            else:
                yield task


@contextmanager
def stopped_by_signal() -> Iterator[threading.Event]:
    """Set by Ctrl-C or the request to end, so that what was begun can be booked; the second Ctrl-C ends at once."""
    stop = threading.Event()
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}

    def told(number: int, frame: FrameType | None) -> None:
        stop.set()
        signal.signal(signal.SIGINT, signal.default_int_handler)

    for number in before:
        signal.signal(number, told)
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
