"""What a request says, read with care: nothing but our own page should send it, and yet anything may come."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Coroutine, Mapping
from typing import Any, TypeVar

from starlette.requests import Request

from cli.page.form.entry import MOST_LETTERS

GONE_S = 0.5
Told = TypeVar("Told")


class BadRequest(Exception):
    """A request that no page of ours sends."""


class Elsewhere(Exception):
    """A request of a tab that shows a case that is no longer the open one."""


class Message:
    """A JSON object of a request."""

    def __init__(self, data: Mapping[str, Any]) -> None:
        self._data = data

    def word(self, key: str) -> str:
        """A text, empty where there is none; raises `BadRequest` for anything else, and for a text beyond all use."""
        value = self._data.get(key, "")
        if not isinstance(value, str) or len(value) > 4 * MOST_LETTERS:
            raise BadRequest(f"'{key}' must be a text")
        return value

    def words(self) -> dict[str, str]:
        """Every text."""
        return {key: self.word(key) for key in self._data if isinstance(self._data[key], str)}

    def number(self, key: str) -> int:
        """A whole number, 0 where there is none; raises `BadRequest` for anything else."""
        value = self._data.get(key, 0)
        if not isinstance(value, int):
            raise BadRequest(f"'{key}' must be a whole number")
        return value

    def says(self, key: str) -> bool:
        """True where it says so."""
        return self._data.get(key) is True


async def message_of(request: Request) -> Message:
    """The JSON object in a request; raises `BadRequest`."""
    if request.headers.get("content-type", "").split(";")[0] != "application/json":
        raise BadRequest("expected JSON")
    try:
        data = json.loads(await request.body())
    except (ValueError, RecursionError):
        raise BadRequest("this is no JSON") from None
    if not isinstance(data, dict):
        raise BadRequest("expected an object")
    return Message(data)


async def while_there(request: Request, asking: Coroutine[Any, Any, Told]) -> Told | None:
    """The answer; None where the one who asked has gone meanwhile, so that nothing is worked out for nobody."""
    task = asyncio.ensure_future(asking)
    while not (await asyncio.wait({task}, timeout=GONE_S))[0]:
        if await request.is_disconnected():
            task.cancel()
            return None
    return task.result()
