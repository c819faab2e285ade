"""What changes the case: entries, sites, undo, the file. Every answer says where the case stands then."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from catalogue.mistakes import InputError
from cli.exit import BadInput
from cli.interview.prompts import Unusable
from cli.page.document.document import Conflict, OpenCase, Refused, Taken
from cli.page.document.folder import ChangedOnDisk, reason
from cli.page.form.entry import Said
from cli.page.form.new_site import site_said
from cli.page.session import Sitting
from cli.page.start import begun
from cli.page.web.markup import essences
from cli.page.web.requests import Elsewhere, Message, message_of


class Writing:
    """The handlers of POST."""

    def __init__(self, sitting: Sitting) -> None:
        self._sitting = sitting

    def routes(self) -> list[Route]:
        """What can be asked for."""
        handlers = {
            "/edit": self._edit, "/undo": self._undo, "/redo": self._redo, "/add": self._add, "/remove": self._remove,
            "/save": self._save, "/load": self._load, "/recover": self._recover, "/begin": self._begin,
            "/stop": self._stop,
        }  # fmt: skip
        return [Route(path, handler, methods=["POST"]) for path, handler in handlers.items()]

    async def _edit(self, request: Request) -> Response:
        said = await message_of(request)
        entry = Said(said.word("value"), said.word("error"))
        return self._told(self._opened(said).put(said.word("at"), entry, said.number("base"), said.word("tab")))

    async def _undo(self, request: Request) -> Response:
        said = await message_of(request)
        self._opened(said).undo(said.word("tab"))
        return self._told(Taken())

    async def _redo(self, request: Request) -> Response:
        said = await message_of(request)
        self._opened(said).redo(said.word("tab"))
        return self._told(Taken())

    async def _add(self, request: Request) -> Response:
        said = await message_of(request)
        opened = self._opened(said)
        try:
            group, name, facts = site_said(said.words(), opened.case)
        except Unusable as error:
            return self._told(Refused(error.problem, error.advice))
        return self._told(opened.add(group, name, facts, said.word("tab")))

    async def _remove(self, request: Request) -> Response:
        said = await message_of(request)
        return self._told(self._opened(said).remove(said.word("group"), said.word("name"), said.word("tab")))

    async def _save(self, request: Request) -> Response:
        said = await message_of(request)
        self._opened(said)
        try:
            await self._sitting.save(said.word("name"), over=said.says("over"))
        except ChangedOnDisk:
            problem = f"{self._sitting.shelf.path.name} on disk is not what was opened here"
            return self._told(Refused(problem, "load it, or save over it"), disk=True)
        except BadInput as error:
            return self._told(Refused(error.problem, error.advice))
        except OSError as error:
            return self._told(_cannot("saved", error))
        return self._told(Taken())

    async def _load(self, request: Request) -> Response:
        """The file as it is on disk now in place of what is here; undo brings that back."""
        said = await message_of(request)
        opened = self._opened(said)
        try:
            text = self._sitting.shelf.read()
            result = opened.replace(text, said.word("tab"))
            if isinstance(result, Taken):
                self._sitting.shelf.open_as(text)
        except InputError as error:
            result = Refused(str(error.mistakes[0]), "")
        except OSError as error:
            result = _cannot("read", error)
        return self._told(result)

    async def _recover(self, request: Request) -> Response:
        """Take up the unsaved work of an earlier session, or throw it away."""
        said = await message_of(request)
        self._opened(said)
        if said.says("take"):
            return self._told(await self._sitting.take_up(said.word("tab")))
        try:
            await self._sitting.forget()
        except OSError as error:
            return self._told(_cannot("removed", error))
        return self._told(Taken())

    async def _begin(self, request: Request) -> Response:
        said = await message_of(request)
        try:
            await begun(self._sitting, said.words())
        except (Unusable, BadInput) as error:
            return self._told(Refused(error.problem, error.advice))
        except InputError as error:
            return self._told(Refused(str(error.mistakes[0]), ""))
        except OSError as error:
            return self._told(_cannot("read", error))
        return self._told(Taken())

    async def _stop(self, request: Request) -> Response:
        self._sitting.stop((await message_of(request)).word("job"))
        return self._told(Taken())

    def _opened(self, said: Message) -> OpenCase:
        """The case that the tab means."""
        if self._sitting.opened is None or said.number("opening") != self._sitting.opening:
            raise Elsewhere
        return self._sitting.opened

    def _told(self, result: Taken | Refused | Conflict, **further: object) -> Response:
        facts = self._sitting.facts()
        match result:
            case Refused():
                facts |= {"problem": result.problem, "advice": result.advice}
            case Conflict():
                facts |= {"theirs": result.theirs._asdict()}
            case _:
                self._sitting.touch()
                facts |= {"essences": essences(self._sitting.opened)} if self._sitting.opened else {}
        return JSONResponse(facts | further)


def _cannot(be: str, error: OSError) -> Refused:
    return Refused(f"the file cannot be {be}: {reason(error)}", "")
