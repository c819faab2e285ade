"""The page without a network and without processes: requests straight to the application."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from catalogue.load import load_catalogue
from cli.page.session import Sitting
from cli.page.web.door import Door
from cli.page.web.server import app_for
from cli.page.work.answer_cache import Library
from cli.page.work.jobs import attempt
from cli.page.work.messages import Asked, Outcome
from cli.page.work.solver_process import Crew

PORT = 8000
HOME = f"http://127.0.0.1:{PORT}"


class Here:
    """Does the jobs in a thread of this process."""

    def __init__(self) -> None:
        self.library = Library(())

    def start(self) -> None:
        """Nothing to load."""

    async def ready(self) -> None:
        """It is."""

    async def do(self, asked: Asked) -> Outcome:
        """The job."""
        return await asyncio.to_thread(attempt, asked, self.library)

    def stop(self) -> None:
        """Cannot be stopped."""


class Page:
    """A tab: what it sends says on which state it was made."""

    def __init__(self, client: TestClient, sitting: Sitting, keys: list[str], tab: str = "one") -> None:
        self.client, self.sitting, self.keys, self.tab = client, sitting, keys, tab
        self.revision, self.opening = 0, sitting.opening

    def post(self, path: str, **said: Any) -> dict[str, Any]:
        """Send an entry; the facts that come back."""
        whole = {"tab": self.tab, "base": self.revision, "opening": self.opening, **said}
        facts: dict[str, Any] = self.client.post(path, json=whole, headers={"origin": HOME}).json()
        self.revision = facts.get("revision", self.revision)
        return facts

    def get(self, path: str, **asked: Any) -> dict[str, Any]:
        """Ask for something."""
        facts: dict[str, Any] = self.client.get(path, params=asked).json()
        return facts

    def other(self) -> Page:
        """A second tab that has seen nothing yet."""
        return Page(self.client, self.sitting, self.keys, "two")


@contextmanager
def served(path: Path, *, admitted: bool = True) -> Iterator[Page]:
    """The page of a file; `keys` of it are those that the door was given."""
    sitting = Sitting(path, load_catalogue())
    sitting.open_file()
    keys: list[str] = []
    door = Door(keys.append)
    keys.append(door.key)
    app = app_for(sitting, lambda: Crew(Here(), Here(), Here()), port=PORT, door=door)
    with TestClient(app, base_url=HOME, raise_server_exceptions=False) as client:
        if admitted:
            client.post("/enter", data={"key": door.key})
        yield Page(client, sitting, keys)
