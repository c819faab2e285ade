"""A real browser before a real server: the command itself in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tests.cli.page.diagnosis import Watch, note

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parents[3]
PATIENCE_MS = 90_000
CURRENT = '#answer[data-current="yes"]'
DRAWN = '#drawing[data-current="yes"]'


class Server:
    """`regrip page` at work."""

    def __init__(self, case: Path, *options: str, browser: str = "", stderr: int | None = None) -> None:
        quiet = [] if browser else ["--no-browser"]
        command = [sys.executable, "-m", "cli.main", "page", str(case), *quiet, *options]
        environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONFAULTHANDLER": "1", "BROWSER": browser}
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=stderr, text=True, cwd=case.parent, env=environment
        )
        self.address = self._told()

    def key(self) -> str:
        """The key for the next browser; there is one after each that was let in."""
        return self._told().split()[-1]

    def _told(self) -> str:
        assert self.process.stdout
        return self.process.stdout.readline().strip()

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.kill()
        self.process.communicate()

    def end(self) -> None:
        """End it as Ctrl-C does."""
        self.process.terminate()
        self.process.communicate(timeout=20)


@contextmanager
def serving(case: Path) -> Iterator[Server]:
    """A server for a file; what goes wrong before it is told with what the page and the server are at."""
    server = Server(case)
    try:
        yield server
    except Exception as error:
        note(error)
        raise
    finally:
        server.end()


def opened(browser: Browser, server: Server, **how: object) -> Page:
    """A fresh tab of a fresh visitor; this and all others of his are watched."""

    def watch(page: Page) -> None:
        Watch(page, server.process)

    context = browser.new_context(**how)  # type: ignore[arg-type]
    context.set_default_timeout(PATIENCE_MS)
    context.on("page", watch)
    page = context.new_page()
    page.goto(server.address)
    page.fill("#key", server.key())
    page.get_by_role("button", name="Open").click()
    page.wait_for_selector("#cards, body.begin")
    return page


def settled(page: Page) -> None:
    """The answer and the drawing speak of what stands in the fields."""
    page.wait_for_selector(CURRENT)
    page.wait_for_selector(DRAWN)
