"""What a page that does not come to rest is at: told in full, as it may not happen again."""

from __future__ import annotations

import json
import time
from collections import deque
from typing import TYPE_CHECKING, Any
from urllib.parse import urljoin
from weakref import WeakKeyDictionary

if TYPE_CHECKING:
    import subprocess

    from playwright.sync_api import APIResponse, ConsoleMessage, Page, Request

LOOK_MS = 5_000
OF_THE_PAGE = """async () => {
  const server = await import('/static/server.js'), answer = await import('/static/answer.js');
  const fields = await import('/static/fields.js'), place = document.activeElement;
  return {
    state: server.state, answer: answer.standing(), 'entries under way': fields.standing(), now: performance.now(),
    answering: {...document.getElementById('answer').dataset},
    drawing: {current: document.getElementById('drawing').dataset.current},
    visibility: document.visibilityState, focus: place?.id || place?.tagName,
    notices: [...document.querySelectorAll('.notice:not([hidden])')].map((one) => one.id),
    problems: [...document.querySelectorAll('.problem:not(:empty), .bad')].map((one) => one.textContent),
    forms: [...document.forms].map((one) => [one.id || one.ariaLabel, ...new FormData(one)].join(' ')),
    verdict: document.getElementById('verdict').textContent,
  };
}"""
_HEAD = "The page then:"
_WATCHED: WeakKeyDictionary[Page, Watch] = WeakKeyDictionary()


class Watch:
    """What a page asks for, with what became of it, its complaints, and its server. It begins when it is made."""

    def __init__(self, page: Page, process: subprocess.Popen[str]) -> None:
        self._page, self._process = page, process
        self._under_way: dict[Request, float] = {}
        self._done: deque[str] = deque(maxlen=60)
        self._complaints: deque[str] = deque(maxlen=30)
        page.on("request", self._asked)
        page.on("requestfinished", self._ended)
        page.on("requestfailed", self._ended)
        page.on("console", self._noted)
        page.on("pageerror", lambda error: self._complaints.append(f"error: {error}"))
        _WATCHED[page] = self

    def told(self) -> str:
        """Everything that is known of the page."""
        facts = {
            "requests": self.facts(),
            "process": self.process(),
            "server": _server(self._page),
            "page": _inside(self._page),
        }
        return json.dumps(facts, indent=1, default=str)

    def facts(self) -> dict[str, Any]:
        """Requests under way with their age, the last that ended, what the console says."""
        now = time.monotonic()
        return {
            "under way": [f"{_name(one)}, {now - since:.1f} s" for one, since in self._under_way.items()],
            "ended": list(self._done),
            "complaints": list(self._complaints),
        }

    def process(self) -> str:
        """Whether the server is still there; a negative number is the signal that ended it."""
        code = self._process.poll()
        return "there" if code is None else f"ended with {code}"

    def _asked(self, request: Request) -> None:
        self._under_way[request] = time.monotonic()

    def _ended(self, request: Request) -> None:
        now = time.monotonic()
        took = now - self._under_way.pop(request, now)
        if request.url.endswith("/state") and not request.failure:
            return  # asked every two seconds: all else would be lost among them
        self._done.append(f"{now:.1f}: {_name(request)}, {took:.2f} s, {request.failure or 'arrived'}")

    def _noted(self, message: ConsoleMessage) -> None:
        self._complaints.append(message.text)


def note(error: BaseException) -> None:
    """Lay beside what went wrong, once, all that is known of every page that is open then."""
    if any(_HEAD in told for told in getattr(error, "__notes__", ())):
        return
    for page, watch in list(_WATCHED.items()):
        if not page.is_closed():
            error.add_note(f"{_HEAD} {watch.told()}")


def close_all() -> None:
    """No page that a failed test left open goes on asking."""
    for page in list(_WATCHED):
        if not page.is_closed():
            page.context.close()


def _name(request: Request) -> str:
    return f"{request.method} {request.url} {request.post_data or ''}".strip()


def _server(page: Page) -> dict[str, Any]:
    """Asked beside the page, with its cookie: what the server knows and what its workers are at."""
    from playwright.sync_api import Error  # noqa: PLC0415 - may be missing

    found: dict[str, Any] = {}
    for path in ("/state", "/working"):
        try:
            answer: APIResponse = page.context.request.get(urljoin(page.url, path), timeout=LOOK_MS)
            found[path] = answer.json() if answer.ok else f"{answer.status}: {answer.text()}"
        except Error as error:
            found[path] = str(error)
    return found


def _inside(page: Page) -> Any:
    """What the page says of itself; a page that cannot be drawn any more is not asked, as that would never end."""
    from playwright.sync_api import Error  # noqa: PLC0415 - may be missing

    try:
        page.screenshot(timeout=LOOK_MS)
        return page.evaluate(OF_THE_PAGE)
    except Error as error:
        return str(error)
