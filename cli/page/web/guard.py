"""Who may talk to the page: this machine, under its own name, let in by a key, from its own pages; nothing large.

A page on the internet can make a browser send requests to this machine (and with DNS rebinding under a name of its
own), so Host, Origin and a same-site cookie are all checked before anything else looks at a request.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs

from cli.page.web.door import ENTRY, Door, closed, opened, same

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 256_000
MOST_KEY = 1_000
MOST_SCAN = 200_000_000
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
    (b"cache-control", b"no-store"),
)
_HTML = (b"content-type", b"text/html; charset=utf-8")


class Guard:
    """ASGI middleware. Whoever has the key of the door is given a cookie, which is another secret.

    Cookies of a machine go to all its ports: the name says whose it is, and those of others are not looked into.
    """

    def __init__(self, app: ASGIApp, *, port: int, door: Door) -> None:
        self._app, self._door = app, door
        self._session = secrets.token_urlsafe(32)
        self.cookie = f"regrip-{port}"
        self._hosts = {f"{name}:{port}" for name in ("127.0.0.1", "localhost")}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request, turned away or let through."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        send = _with_headers(send)
        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        host = headers.get("host", "")
        if host not in self._hosts:
            await _answer(send, 403, "this page answers to its own name only")
        elif (scope["method"], scope["path"]) == ("POST", ENTRY):
            await self._let_in(receive, send)  # from wherever: only who has the key can send it
        elif refusal := _refusal(scope, headers, host):
            await _answer(send, 403, refusal)
        elif not self._has_cookie(headers):
            await _turned_away(scope, send)
        elif _too_large(scope, headers):
            await _answer(send, 413, "this is larger than the page takes")
        else:
            await self._app(scope, _bounded(receive, _most(scope)), send)

    def _has_cookie(self, headers: Mapping[str, str]) -> bool:
        pairs = (part.strip().partition("=") for part in headers.get("cookie", "").split(";"))
        return any(name == self.cookie and same(value, self._session) for name, _, value in pairs)

    async def _let_in(self, receive: Receive, send: Send) -> None:
        """What a visitor with the key gets is a cookie that no other site can send and no script can read."""
        try:
            said = parse_qs((await _body(_bounded(receive, MOST_KEY))).decode("latin-1"))
        except TooLarge:
            said = {}
        if self._door.lets_in(said.get("key", [""])[0]):
            cookie = f"{self.cookie}={self._session}; Path=/; HttpOnly; SameSite=Strict"
            await _answer(send, 200, opened(), _HTML, (b"set-cookie", cookie.encode()))
        else:
            await _answer(send, 403, closed("That is not the key. Each lets in one browser, once."), _HTML)


def _refusal(scope: Scope, headers: Mapping[str, str], host: str) -> str:
    """Why a request is turned away; empty where it is not."""
    origin = headers.get("origin")
    if scope["method"] not in ("GET", "HEAD", "POST"):
        return "this page reads and takes entries, nothing else"
    if origin != f"http://{host}" and (origin is not None or scope["method"] == "POST"):
        return "this came from another page"
    if headers.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        return "this came from another page"
    return ""


async def _turned_away(scope: Scope, send: Send) -> None:
    if scope["path"] == "/":
        await _answer(send, 403, closed(), _HTML)
    else:
        await _answer(send, 403, "open the page at its address, with the key that `regrip page` printed")


def _most(scope: Scope) -> int:
    return MOST_SCAN if scope["path"] == "/scan" else MOST_BODY


def _too_large(scope: Scope, headers: Mapping[str, str]) -> bool:
    length = headers.get("content-length", "0")
    return not length.isdigit() or int(length) > _most(scope) or len(scope["query_string"]) > MOST_BODY


class TooLarge(Exception):
    """More came than was announced, or than is taken."""


def _bounded(receive: Receive, most: int) -> Receive:
    """What comes in pieces without an announced length is counted too."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            raise TooLarge
        return message

    return counted


async def _body(receive: Receive) -> bytes:
    body, more = b"", True
    while more:
        message = await receive()
        body, more = body + message.get("body", b""), message.get("more_body", False)
    return body


def _with_headers(send: Send) -> Send:
    """Every answer forbids what the page has no use for; an answer may bring a policy of its own."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = {name.lower() for name, _ in message["headers"]}
            message["headers"] = [*message["headers"], *(one for one in _HEADERS if one[0] not in own)]
        await send(message)

    return sent


async def _answer(send: Send, status: int, text: str, *further: tuple[bytes, bytes]) -> None:
    body = text.encode()
    start: dict[str, Any] = {"type": "http.response.start", "status": status}
    headers = {b"content-type": b"text/plain; charset=utf-8", b"content-length": str(len(body)).encode()}
    await send(start | {"headers": list((headers | dict(further)).items())})
    await send({"type": "http.response.body", "body": body})
