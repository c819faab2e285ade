"""A socket on this machine alone, the server on it, and the browser."""

from __future__ import annotations

import contextlib
import signal
import socket
import tempfile
import threading
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path

import uvicorn

from cli.exit import BadInput
from cli.files.reading import catalogue_of
from cli.page.session import Farewell, Sitting
from cli.page.web.door import Door, letter
from cli.page.web.server import app_for
from cli.page.work.solver_process import crew_of

LOOPBACK = "127.0.0.1"


def launch(
    path: Path, overlays: tuple[str, ...], *, port: int, browser: bool, tell: Callable[[str], None]
) -> Farewell:
    """Serve until interrupted; what became of the case then.

    Raises `BadInput` where the port is taken, `InputError` for a bad catalogue.
    """
    sitting = Sitting(path, catalogue_of(overlays))
    sitting.open_file()
    listening = _listening(port)
    port = listening.getsockname()[1]
    door = Door(lambda key: _told(tell, f"A browser was let in. Key for another: {key}"))
    app = app_for(sitting, lambda: crew_of(overlays), port=port, door=door)
    config = uvicorn.Config(
        app, log_level="warning", access_log=False, server_header=False, date_header=False, proxy_headers=False,
        ws="none", timeout_graceful_shutdown=2,
    )  # fmt: skip
    server = _Server(sitting, config)
    with _heeding_interrupts(server), contextlib.ExitStack() as until_the_end:
        home = f"http://{LOOPBACK}:{port}"
        tell(f"{home}/\nKey: {door.key}")
        if browser:
            threading.Timer(0.5, webbrowser.open, [_way_in(home, door, until_the_end)]).start()
        server.run(sockets=[listening])
    return sitting.farewell()


def _way_in(home: str, door: Door, until: contextlib.ExitStack) -> str:
    """What the browser is given: a file with the key, or where none can be written the page, which asks for it."""
    try:
        folder = until.enter_context(tempfile.TemporaryDirectory(prefix="regrip-", ignore_cleanup_errors=True))
        return letter(Path(folder), home, door.key).as_uri()
    except OSError:
        return f"{home}/"


def _told(tell: Callable[[str], None], text: str) -> None:
    with contextlib.suppress(OSError):  # nobody reads it any more
        tell(text)


@contextlib.contextmanager
def _heeding_interrupts(server: uvicorn.Server) -> Iterator[None]:
    """An interrupt, or being told to end, ends the server alone, so that what comes after it is done.

    That holds even before its loop runs, where Python may lose the `KeyboardInterrupt`.
    """
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread hears of signals
        return
    before = {number: signal.signal(number, server.handle_exit) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


class _Server(uvicorn.Server):
    """Lets those go who wait for an answer, before it waits for them."""

    def __init__(self, sitting: Sitting, config: uvicorn.Config) -> None:
        super().__init__(config)
        self._sitting = sitting

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End."""
        self._sitting.rest()
        await super().shutdown(sockets)


def _listening(port: int) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        found.bind((LOOPBACK, port))
        found.listen()  # whoever comes before the server is ready waits in the queue
    except OSError as error:
        found.close()
        raise BadInput(f"port {port} cannot be used: {(error.strerror or '').lower()}", "leave --port out") from None
    return found
