"""A case that begins with a scan: the file is taken in, measured by the slow worker, and opened as a new case."""

from __future__ import annotations

import tempfile
from pathlib import Path

import anyio
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from catalogue.mistakes import InputError
from cli.page.asked import Done, Stopped, Unfit
from cli.page.sitting import Sitting

SUFFIXES = (".stl", ".ply", ".obj")


class Scanning:
    """The handler that takes a scan."""

    def __init__(self, sitting: Sitting) -> None:
        self._sitting = sitting

    def routes(self) -> list[Route]:
        """What can be asked for."""
        return [Route("/scan", self._scan, methods=["POST"])]

    async def _scan(self, request: Request) -> Response:
        """The body is the file; its name, the jaw and the unit stand in the address."""
        asked = request.query_params
        suffix = Path(asked.get("name", "")).suffix.lower()
        if suffix not in SUFFIXES:
            return self._told(problem="this is no scan that can be read", advice=f"choose {', '.join(SUFFIXES)}")
        with tempfile.TemporaryDirectory(prefix="regrip-") as folder:
            scan = Path(folder) / f"scan{suffix}"
            async with await anyio.open_file(scan, "wb") as file:
                async for piece in request.stream():
                    await file.write(piece)
            more = {"scan": str(scan), "arch": asked.get("arch", ""), "units": asked.get("units", "")}
            answered = await self._sitting.measure(more)
        match answered.outcome:
            case Done(fragments):
                return self._open(fragments["text"], fragments["notes"])
            case Unfit(problem, advice):
                return self._told(problem=problem, advice=advice)
            case Stopped():
                return self._told(problem="stopped", advice="")

    def _open(self, text: str, notes: str) -> Response:
        try:
            self._sitting.open_new(text, tuple(notes.splitlines()))
        except InputError as error:
            return self._told(problem=str(error.mistakes[0]), advice="")
        return self._told(notes=notes)

    def _told(self, **further: str) -> Response:
        return JSONResponse(self._sitting.facts() | further)
