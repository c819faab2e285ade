"""A scan: the file is taken in, measured by a worker of its own, and put into the open case or opened as new."""

from __future__ import annotations

import importlib.util
import tempfile
from collections.abc import Mapping
from pathlib import Path

import anyio
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from catalogue.mistakes import InputError
from cli.exit import BadInput
from cli.page.document.document import OpenCase, Refused
from cli.page.session import Sitting
from cli.page.web.requests import Elsewhere, while_there
from cli.page.work.messages import Done, Outcome, Stopped, Unfit

SUFFIXES = (".stl", ".ply", ".obj")
UNITS = ("mm", "um", "cm", "inch", "m")


def can_scan() -> bool:
    """True where the extra `scan` is installed."""
    return importlib.util.find_spec("trimesh") is not None


class Scanning:
    """The handler that takes a scan."""

    def __init__(self, sitting: Sitting) -> None:
        self._sitting = sitting

    def routes(self) -> list[Route]:
        """What can be asked for."""
        return [Route("/scan", self._scan, methods=["POST"])]

    async def _scan(self, request: Request) -> Response:
        """The body is the file. Its name, its unit, the scanner's error and the jaw of a new case are in the address.

        `opening` there names the case that the tab shows, to put the figures into.
        """
        asked = request.query_params
        into = self._meant(asked)
        name = asked.get("name", "")
        suffix = Path(name).suffix.lower()
        if suffix not in SUFFIXES:
            return self._told(problem="this is no scan that can be read", advice=f"choose {', '.join(SUFFIXES)}")
        with tempfile.TemporaryDirectory(prefix="regrip-") as folder:
            scan = Path(folder) / f"scan{suffix}"
            async with await anyio.open_file(scan, "wb") as file:
                async for piece in request.stream():
                    await file.write(piece)
            more = {key: asked.get(key, "") for key in ("arch", "units", "trueness")}
            more |= {"scan": str(scan), "name": Path(name).name[:80]}
            outcome = await self._measured(request, more, into)
        match outcome:
            case Done(fragments):
                return await self._put(fragments["text"], fragments["notes"], into)
            case Unfit(problem, advice):
                return self._told(problem=problem, advice=advice)
            case _:
                return self._told(problem="stopped", advice="nothing was changed")

    def _meant(self, asked: Mapping[str, str]) -> OpenCase | None:
        """The case that the tab shows; None for a new one."""
        if "opening" not in asked:
            return None
        if self._sitting.opened is None or asked["opening"] != str(self._sitting.opening):
            raise Elsewhere
        return self._sitting.opened

    async def _measured(self, request: Request, more: Mapping[str, str], into: OpenCase | None) -> Outcome:
        """Measured for the case as it stands when that is done: what is typed meanwhile is not written over."""
        while True:
            text = into.text if into else ""
            answered = await while_there(request, self._sitting.measure(more, into))
            if answered is None:
                return Stopped()
            if into is None or into.text == text or not isinstance(answered.outcome, Done):
                return answered.outcome

    async def _put(self, text: str, notes: str, into: OpenCase | None) -> Response:
        if into is None:
            return await self._open(text, notes)
        if into is not self._sitting.opened:
            raise Elsewhere
        result = into.replace(text, "")  # by no field of any tab: all of them read their form anew
        if isinstance(result, Refused):
            return self._told(problem=result.problem, advice=result.advice)
        self._sitting.touch()
        return self._told(notes=notes)

    async def _open(self, text: str, notes: str) -> Response:
        try:
            await self._sitting.open_new(text, tuple(notes.splitlines()))
        except InputError as error:
            return self._told(problem=str(error.mistakes[0]), advice="")
        except BadInput as error:
            return self._told(problem=error.problem, advice=error.advice)
        return self._told(notes=notes)

    def _told(self, **further: str) -> Response:
        return JSONResponse(self._sitting.facts() | further)
