"""A request and the one who made it."""

from __future__ import annotations

import asyncio

import pytest
from starlette.requests import Request
from starlette.types import Message

from cli.page.web import requests as said
from tests.cli.page.stories import run


def test_nobody_works_for_one_who_has_gone(monkeypatch: pytest.MonkeyPatch) -> None:
    """The browser has closed the connection: what was asked for is given up, and so can be left out by the line."""
    monkeypatch.setattr(said, "GONE_S", 0.001)
    given_up = []

    async def gone() -> Message:
        return {"type": "http.disconnect"}

    async def long_work() -> str:
        try:
            return str(await asyncio.Event().wait())
        except asyncio.CancelledError:
            given_up.append("work")
            raise

    async def story() -> None:
        answer = await said.while_there(Request({"type": "http"}, gone), long_work())
        await asyncio.sleep(0)

        assert (None, ["work"]) == (answer, given_up)

    run(story())
