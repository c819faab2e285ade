"""Reports seen by a real browser: opened at a size, asked what shows, and looked over by axe."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog, Page, Request

FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update")
NO_NETWORK = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
DRIVER_MISSING = "`{}` is not installed; it is in the extra `dev`: pip install -e '.[dev]'"
BROWSER_MISSING = "Chromium is not installed; on Debian: apt-get install chromium"


class Medium(NamedTuple):
    """What a page is shown on, and how wide its window is in pixels of 1/96 inch."""

    kind: Literal["screen", "print"]
    width: int


class Shown(NamedTuple):
    """A page on show, and what it has to complain of: its console, errors, dialogs, requests for anything else."""

    page: Page
    complaints: list[str]

    def turn_to(self, medium: Medium) -> None:
        """Show the same page on another medium."""
        self.page.set_viewport_size({"width": medium.width, "height": 1000})
        self.page.emulate_media(media=medium.kind)


@contextmanager
def opened(browser: Browser, file: Path, medium: Medium) -> Iterator[Shown]:
    """The page of a file."""
    page = browser.new_page()
    shown = Shown(page, [])
    try:
        shown.turn_to(medium)
        _listen(shown, file.as_uri())
        page.goto(file.as_uri())
        yield shown
    finally:
        page.close()


def _listen(shown: Shown, address: str) -> None:
    def refuse(dialog: Dialog) -> None:
        shown.complaints.append(dialog.message)
        dialog.dismiss()

    def note(asked: Request) -> None:
        if asked.url != address:
            shown.complaints.append(asked.url)

    shown.page.on("console", lambda message: shown.complaints.append(message.text))
    shown.page.on("pageerror", lambda error: shown.complaints.append(str(error)))
    shown.page.on("dialog", refuse)
    shown.page.on("request", note)


def violations(page: Page) -> list[str]:
    """What axe-core (Deque Systems) finds against its rules, all of them on: the rule and the first place of each."""
    bundle = pytest.importorskip("axe_playwright_python", reason=DRIVER_MISSING.format("axe-playwright-python"))
    page.evaluate((Path(bundle.__file__).parent / "axe.min.js").read_text(encoding="utf-8"))
    found: dict[str, Any] = page.evaluate("axe.run({resultTypes: ['violations']})")
    assert found["passes"], "axe looked at nothing"
    return [f"{rule['id']}: {rule['nodes'][0]['html']}" for rule in found["violations"]]
