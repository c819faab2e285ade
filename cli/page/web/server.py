"""The application: routes, guard, and failures told without their inner workings."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator, Callable
from pathlib import Path

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from cli.page.form.form import NoSuchField
from cli.page.session import Sitting
from cli.page.web.door import Door
from cli.page.web.guard import Guard, TooLarge
from cli.page.web.read_routes import Reading
from cli.page.web.requests import BadRequest, Elsewhere
from cli.page.web.scan_routes import Scanning
from cli.page.web.write_routes import Writing
from cli.page.work.solver_process import Crew

STATIC = Path(__file__).parents[1] / "static"


def app_for(sitting: Sitting, workers: Callable[[], Crew], *, port: int, door: Door) -> Guard:
    """The whole page, guarded; `workers` makes them when the server starts."""

    @contextlib.asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        sitting.start(workers())
        try:
            yield
        finally:
            await sitting.close()

    app = Starlette(
        routes=[
            *Reading(sitting).routes(),
            *Writing(sitting).routes(),
            *Scanning(sitting).routes(),
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        lifespan=life,
        exception_handlers={
            BadRequest: _bad,
            NoSuchField: _bad,
            TooLarge: _too_large,
            Elsewhere: _elsewhere,
            Exception: _fault,
        },
    )
    return Guard(app, port=port, door=door)


async def _bad(_: Request, error: Exception) -> Response:
    return PlainTextResponse(str(error), 400)


async def _too_large(_: Request, error: Exception) -> Response:
    return PlainTextResponse("this is larger than the page takes", 413)


async def _elsewhere(_: Request, error: Exception) -> Response:
    return JSONResponse({"elsewhere": True}, 409)


async def _fault(_: Request, error: Exception) -> Response:
    return PlainTextResponse("internal fault; the case is as it was", 500)
