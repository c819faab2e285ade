"""What the page shows: itself, its forms, the answers of the solver, and the sheets to hand on."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route

from cli.page.document.document import OpenCase
from cli.page.session import JOBS, Sitting
from cli.page.web.markup import beginning, forms, whole
from cli.page.web.requests import BadRequest, while_there
from cli.page.work.job_queue import Answered
from cli.page.work.messages import Done, Fragments, Stopped, Unfit

_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)


class Reading:
    """The handlers of GET."""

    def __init__(self, sitting: Sitting) -> None:
        self._sitting = sitting

    def routes(self) -> list[Route]:
        """What can be looked at."""
        handlers = {
            "/": self._page, "/begin": self._beginning, "/form": self._form, "/state": self._state,
            "/working": self._working,
            "/answer": self._answer, "/sheet": self._sheet, "/answer.json": self._machines, "/case.yaml": self._text,
        }  # fmt: skip
        return [Route(path, handler, methods=["GET"]) for path, handler in handlers.items()]

    async def _page(self, request: Request) -> Response:
        if self._sitting.opened is None:
            return RedirectResponse("/begin", 303)
        return HTMLResponse(whole(self._sitting, self._sitting.opened))

    async def _beginning(self, request: Request) -> Response:
        return HTMLResponse(beginning(self._sitting))

    async def _form(self, request: Request) -> Response:
        return JSONResponse(self._sitting.facts() | {"html": forms(self._opened())})

    async def _state(self, request: Request) -> Response:
        return JSONResponse(self._sitting.facts())

    async def _working(self, request: Request) -> Response:
        """For one who looks for a fault."""
        return JSONResponse(self._sitting.working())

    async def _answer(self, request: Request) -> Response:
        """A job worked out; `of` says for which state of the case."""
        self._opened()
        more = dict(request.query_params)
        job = more.pop("job", "")
        if job not in JOBS:
            raise BadRequest("there is no such question")
        asking = self._sitting.ask(job, {key: value for key, value in more.items() if key in JOBS[job]})
        answered = await while_there(request, asking)
        if answered is None:
            return Response(status_code=204)
        return JSONResponse(self._sitting.facts() | {"of": answered.revision} | _told(answered))

    async def _machines(self, request: Request) -> Response:
        answered = await self._sitting.ask("json", {})
        return _whole(answered, lambda made: Response(made["json"], media_type="application/json"))

    async def _text(self, request: Request) -> Response:
        name = quote(self._sitting.shelf.path.name, safe="")
        headers = {"content-disposition": f"attachment; filename*=utf-8''{name}"}
        return Response(self._opened().text, media_type="application/yaml", headers=headers)

    async def _sheet(self, request: Request) -> Response:
        """A sheet to print. It brings its own style, which only this answer may use."""
        self._opened()
        asked = request.query_params
        more = {"only": ",".join(asked.getlist("only")), "paper": asked.get("paper", "A4")}
        more |= {"redact": "yes" if asked.get("redact") else "no"}
        if asked.get("as") == "pdf":
            answered = await self._sitting.ask("pdf", more)
            return _whole(
                answered, lambda made: Response(base64.b64decode(made["pdf"]), media_type="application/pdf")
            )
        return _whole(await self._sitting.ask("sheet", more), _as_sheet)

    def _opened(self) -> OpenCase:
        if self._sitting.opened is None:
            raise BadRequest("no case is open")
        return self._sitting.opened


def _told(answered: Answered) -> dict[str, object]:
    match answered.outcome:
        case Done(fragments):
            return {"html": fragments}
        case Unfit(problem, advice, fault):
            return {"problem": problem, "advice": advice, "fault": fault}
        case Stopped():
            return {"stopped": True}


def _whole(answered: Answered, made: Callable[[Fragments], Response]) -> Response:
    """A page of its own, or why there is none."""
    match answered.outcome:
        case Done(fragments):
            return made(fragments)
        case Unfit(problem, advice, fault):
            return PlainTextResponse(f"{problem}; {advice}" if advice else problem, 500 if fault else 400)
        case Stopped():
            return PlainTextResponse("stopped", 503)


def _as_sheet(made: Fragments) -> Response:
    digests = (hashlib.sha256(style.encode()).digest() for style in _STYLE.findall(made["sheet"]))
    allowed = " ".join(f"'sha256-{base64.b64encode(one).decode()}'" for one in digests)
    policy = f"default-src 'none'; style-src {allowed}; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
    return HTMLResponse(made["sheet"], headers={"content-security-policy": policy})
