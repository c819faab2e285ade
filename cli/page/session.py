"""One sitting: the open case with its file, and those who answer. No word of HTTP here."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal, NamedTuple

from catalogue.mistakes import InputError, Mistake
from catalogue.models import Catalogue
from cli.exit import BadInput
from cli.page.document.document import OpenCase, Refused, Taken
from cli.page.document.folder import Shelf, reason
from cli.page.work.job_queue import Answered, Line
from cli.page.work.messages import Asked
from cli.page.work.solver_process import Crew

JOBS: Mapping[str, frozenset[str]] = {
    "plan": frozenset(), "view": frozenset({"show"}), "more": frozenset(), "give": frozenset(),
    "why": frozenset({"site", "attachment"}), "compare": frozenset({"which"}), "hangs": frozenset(),
}  # fmt: skip
"""Jobs that the page may ask for, with what else they may say."""
WORKS_AT: Mapping[str, str] = {"plan": "quick", "scan": "long", "hangs": "long", "json": "long"}
"""Who does a job; all others are done by the slow one. So nothing else keeps the plan waiting, nor what is long the
drawing."""


class Farewell(NamedTuple):
    """What became of the case in a file: of "older" only an earlier state is kept, for the reason given."""

    path: Path
    work: Literal["saved", "kept", "older", "lost"]
    reason: str = ""


class Sitting:
    """`opened` is None until a case is begun; `mistakes` are those of a file that is none yet.

    `not_kept` is why unsaved work could not be kept when that was tried last, empty where it was. `opening` counts
    the cases opened, so that a tab that still shows another one is told.
    """

    def __init__(self, path: Path, catalogue: Catalogue) -> None:
        self.shelf, self.catalogue = Shelf(path), catalogue
        self.opened: OpenCase | None = None
        self.mistakes: tuple[Mistake, ...] = ()
        self.notes: tuple[str, ...] = ()
        self.not_kept = ""
        self.opening = 0
        self._lines: dict[str, Line] = {}
        self._keeping = asyncio.Lock()
        self._to_keep = asyncio.Event()
        self._keeper: asyncio.Task[None] | None = None

    def start(self, crew: Crew) -> None:
        """Ready for questions; inside a running event loop. Who does what takes long is loaded when first asked."""
        crew.quick.start()
        crew.slow.start()
        self._lines = {name: Line(worker) for name, worker in crew._asdict().items()}
        self._keeper = asyncio.create_task(self._keep())

    def rest(self) -> None:
        """No more answers: those who wait are told, so that nobody keeps the server from ending."""
        for line in self._lines.values():
            line.close()

    async def close(self) -> None:
        """End the work; what is not saved stays beside the file."""
        self.rest()
        async with self._keeping:
            if self._keeper:
                self._keeper.cancel()
            if self.opened and self.unsaved:
                self._set_aside(self.shelf, self.opened.text)

    def farewell(self) -> Farewell:
        """What becomes of the open case when all has ended."""
        shelf, opened = self.shelf, self.opened
        if opened is None or not self.unsaved:
            return Farewell(shelf.path, "saved")
        if shelf.kept == opened.text:
            return Farewell(shelf.path, "kept")
        return Farewell(shelf.path, "lost" if shelf.kept is None else "older", self.not_kept)

    def open_file(self) -> None:
        """Open the file of the shelf where there is one; raises `OSError` where it cannot be read."""
        if self.shelf.path.exists():
            try:
                self._open(self.shelf, self.shelf.read())
            except InputError as error:
                self.mistakes = error.mistakes
        else:
            self.shelf.look_for_unsaved()
            with contextlib.suppress(InputError):
                self._take_up(self.shelf)

    async def open_new(self, text: str, notes: tuple[str, ...] = ()) -> None:
        """A case that stands in no file yet; raises `InputError`, and `BadInput` where the open one would be lost.

        `notes` are what was assumed to make it.
        """
        async with self._keeping:
            first = self.opened is None and self.shelf.is_free
            self._open(self.shelf if first else self.shelf.new_beside(), text, notes)
        self.touch()

    async def open_beside(self, name: str) -> None:
        """Another case of the folder; raises `InputError`, `BadInput` or `OSError`, and then nothing has changed."""
        async with self._keeping:
            shelf = self.shelf.beside(name)
            if shelf.path.exists():
                self._open(shelf, shelf.read())
            else:
                shelf.look_for_unsaved()
                self._take_up(shelf)

    def _take_up(self, shelf: Shelf) -> None:
        """A new case that was never saved goes on where it stood."""
        if left := shelf.left_behind:
            self._open(shelf, left.text)
            shelf.take_up()

    def _open(self, shelf: Shelf, text: str, notes: tuple[str, ...] = ()) -> None:
        """Turn to another case; the one that was open stays kept beside its own file."""
        before = self.opened.revision if self.opened else 0
        opened = OpenCase(text, shelf.path.name, self.catalogue, revision=before + 1)
        if self.opened and self.unsaved:
            self._set_aside(self.shelf, self.opened.text)
            if self.not_kept:
                problem = f"{self.shelf.path.name} is not saved and cannot be kept: {self.not_kept}"
                raise BadInput(problem, "save it first")
        if shelf.path.exists():
            shelf.open_as(text)
            shelf.look_for_unsaved()
        self.shelf, self.opened = shelf, opened
        self.mistakes, self.notes, self.opening = (), notes, self.opening + 1

    @property
    def unsaved(self) -> bool:
        """True where the case is not what stands in the file."""
        return self.opened is not None and (self.shelf.is_new or self.opened.text != self.shelf.saved)

    def touch(self) -> None:
        """Something changed: keep it beside the file."""
        self._to_keep.set()

    async def save(self, name: str = "", *, over: bool = False) -> None:
        """Write the file, or another one of that name; raises `ChangedOnDisk`, `BadInput` or `OSError`.

        Then all is as it was: what is not saved stays kept, and under its own name.
        """
        if self.opened is None:
            return
        async with self._keeping:
            shelf = self.shelf.named(name) if name else self.shelf
            shelf.save(self.opened.text, over=over)
            self.opened.settle()
            self.opened.name = shelf.path.name
            before, self.shelf = self.shelf, shelf
            if before is not shelf:
                before.drop()

    async def take_up(self, tab: str) -> Taken | Refused:
        """What an earlier session left takes the place of what is open, which undo brings back."""
        async with self._keeping:
            left = self.shelf.left_behind
            if self.opened is None or left is None:
                return Taken()
            result = self.opened.replace(left.text, tab)
            if isinstance(result, Taken):
                with contextlib.suppress(OSError):  # it stays where it is, and is offered again
                    self.shelf.take_up()
            return result

    async def forget(self) -> None:
        """Throw away what an earlier session left; raises `OSError`."""
        async with self._keeping:
            self.shelf.forget()

    async def ask(self, job: str, more: Mapping[str, str]) -> Answered:
        """A job on the case as it stands."""
        if self.opened is None:
            raise LookupError(job)
        asked = Asked(job, self.opened.text, self.opened.name, dict(more))
        return await self._line(job).ask(asked, self.opened.revision)

    async def measure(self, more: Mapping[str, str], into: OpenCase | None) -> Answered:
        """A scan measured, for the open case or, without one, for a new case."""
        text, name, revision = (into.text, into.name, into.revision) if into else ("", "", 0)
        return await self._line("scan").ask(Asked("scan", text, name, dict(more)), revision)

    def stop(self, job: str) -> None:
        """End a job, under way or waiting."""
        self._line(job).stop(job)

    def _line(self, job: str) -> Line:
        return self._lines[WORKS_AT.get(job, "slow")]

    def facts(self) -> dict[str, Any]:
        """Where the case stands, for every answer to the page."""
        opened = self.opened
        return {
            "opening": self.opening,
            "revision": opened.revision if opened else 0,
            "by": opened.by if opened else "",
            "since": opened.since if opened else 0,
            "undo": bool(opened and opened.can_undo),
            "redo": bool(opened and opened.can_redo),
            "unsaved": self.unsaved,
            "file": self.shelf.path.name,
            "disk": self.shelf.changed(),
            "not_kept": self.not_kept if self.unsaved else "",
            "left_behind": self.shelf.left_behind is not None,
        }

    def working(self) -> dict[str, Any]:
        """For one who looks for a fault: what each worker is at."""
        return {name: line.standing() for name, line in self._lines.items()}

    async def _keep(self) -> None:
        """Unsaved work is written as it changes; the newest text only, one writing at a time."""
        while True:
            await self._to_keep.wait()
            self._to_keep.clear()
            async with self._keeping:
                if self.opened:
                    await asyncio.to_thread(self._set_aside, self.shelf, self.opened.text)

    def _set_aside(self, shelf: Shelf, text: str) -> None:
        """Keep it, or know why it cannot be."""
        try:
            shelf.set_aside(text)
            self.not_kept = ""
        except OSError as error:
            self.not_kept = reason(error)
