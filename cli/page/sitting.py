"""One sitting: the open case with its file, and those who answer. No word of HTTP here."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from catalogue.mistakes import InputError, Mistake
from catalogue.models import Catalogue
from cli.page.asked import Asked
from cli.page.document import OpenCase
from cli.page.line import Answered, Line
from cli.page.recovery import Recovery
from cli.page.shelf import NEW, Shelf
from cli.page.worker import Crew

JOBS: Mapping[str, frozenset[str]] = {
    "plan": frozenset(), "view": frozenset({"show"}), "more": frozenset(), "give": frozenset(),
    "why": frozenset({"site", "attachment"}), "compare": frozenset({"which"}), "hangs": frozenset(),
}  # fmt: skip
"""Jobs that the page may ask for, with what else they may say."""
WORKS_AT: Mapping[str, str] = {"plan": "quick", "scan": "long", "hangs": "long", "json": "long"}
"""Who does a job; all others are done by the slow one. So nothing else keeps the plan waiting, nor what is long the
drawing."""


class Sitting:
    """`opened` is None until a case is begun; `mistakes` are those of a file that is none yet.

    `opening` counts the cases opened, so that a tab that still shows another one is told.
    """

    def __init__(self, path: Path, catalogue: Catalogue) -> None:
        self.shelf, self.catalogue = Shelf(path), catalogue
        self.opened: OpenCase | None = None
        self.mistakes: tuple[Mistake, ...] = ()
        self.left_behind: Recovery | None = None
        self.notes: tuple[str, ...] = ()
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
        if self._keeper:
            self._keeper.cancel()
        if self.opened and self.unsaved:
            self.shelf.set_aside(self.opened.text)

    def open_file(self) -> None:
        """Open the file of the shelf where there is one; raises `OSError` where it cannot be read."""
        if self.shelf.path.exists():
            try:
                self._open(self.shelf.read())
            except InputError as error:
                self.mistakes = error.mistakes
        self.left_behind = self.shelf.left_behind()
        if self.left_behind and self.opened is None and self.shelf.is_new:
            self._take_up(self.left_behind.text)

    def open_new(self, text: str, notes: tuple[str, ...] = ()) -> None:
        """A case that stands in no file yet; raises `InputError`. What was open stays kept beside its own file.

        `notes` are what was assumed to make it.
        """
        self._open(text)
        self.notes = notes
        if not self.shelf.is_new:
            self.shelf = self.shelf.beside(NEW)
        self.touch()

    def open_beside(self, name: str) -> None:
        """Another file of the folder; raises `InputError` or `OSError`, and then nothing has changed."""
        shelf = self.shelf.beside(name)
        self._open(shelf.read())
        self.shelf = shelf
        self.left_behind = shelf.left_behind()

    def _take_up(self, text: str) -> None:
        """A new case that was never saved goes on where it stood."""
        with contextlib.suppress(InputError):
            self._open(text)
            self.left_behind = None

    def _open(self, text: str) -> None:
        before = self.opened.revision if self.opened else 0
        self.opened = OpenCase(text, self.shelf.path.name, self.catalogue, revision=before + 1)
        self.mistakes, self.notes, self.left_behind, self.opening = (), (), None, self.opening + 1

    @property
    def unsaved(self) -> bool:
        """True where the case is not what stands in the file."""
        return self.opened is not None and (self.shelf.is_new or self.opened.text != self.shelf.saved)

    def touch(self) -> None:
        """Something changed: keep it beside the file."""
        self._to_keep.set()

    async def save(self, *, over: bool = False) -> None:
        """Write the file; raises `ChangedOnDisk` or `OSError`."""
        if self.opened is None:
            return
        async with self._keeping:
            self._to_keep.clear()
            self.opened.settle()
            self.shelf.save(self.opened.text, over=over)

    async def forget(self) -> None:
        """Throw away what an earlier session left, and keep what is unsaved now."""
        async with self._keeping:
            self.shelf.forget()
        if self.unsaved:
            self.touch()

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
            "undo": bool(opened and opened.can_undo),
            "redo": bool(opened and opened.can_redo),
            "unsaved": self.unsaved,
            "file": self.shelf.path.name,
            "disk": self.shelf.changed(),
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
                    await asyncio.to_thread(self._set_aside, self.opened.text)

    def _set_aside(self, text: str) -> None:
        try:
            self.shelf.set_aside(text)
        except OSError:  # a folder that cannot be written: saving will say so
            return
