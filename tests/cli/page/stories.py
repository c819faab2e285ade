"""Stories told in an event loop of their own: the browser of the session may hold the loop of the main thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any

PATIENCE_S = 120.0


def run(story: Coroutine[Any, Any, None]) -> None:
    """To its end, or to the end of patience."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(lambda: asyncio.run(asyncio.wait_for(story, PATIENCE_S))).result()
