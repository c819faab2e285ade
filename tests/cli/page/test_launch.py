"""The process of the page: an interrupt ends it, however early it comes, and a visitor who hangs up does not."""

from __future__ import annotations

import errno
import signal
import socket
import stat
import subprocess
import sys
import time
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import SplitResult, unquote, urlsplit

import pytest

from cli.page.web.door import Door
from tests.cli.page.browser import Server, serving
from tests.cli.page.cases import TEXT

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytest.importorskip("uvicorn", reason="the extra `page` is not installed")
from cli.page.web import launch

INTERRUPTED = """
import signal, sys
from pathlib import Path
from urllib.parse import SplitResult, urlsplit
from cli.page.web.launch import launch

def tell(address):
    print(address)
    signal.raise_signal(signal.SIGINT)

before = signal.getsignal(signal.SIGINT)
print(launch(Path(sys.argv[1]), (), port=0, browser=False, tell=tell).work)
print(signal.getsignal(signal.SIGINT) is before)
"""


def test_an_interrupt_as_soon_as_the_address_is_told_ends_the_page(tmp_path: Path) -> None:
    """In a process of its own: the loop of the browser tests may be running in this one."""
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    ran = subprocess.run(
        [sys.executable, "-c", INTERRUPTED, str(path)], capture_output=True, text=True, timeout=60, check=False
    )

    assert (0, "") == (ran.returncode, ran.stderr)
    address, _, _, work, as_before = ran.stdout.split()
    assert ("saved", "True") == (work, as_before)
    port = int(address.removeprefix("http://127.0.0.1:").split("/")[0])
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", port), timeout=5)


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no such signal on this system")
def test_a_visitor_who_has_hung_up_before_the_answer_does_not_end_the_page(tmp_path: Path) -> None:
    """The second piece of the answer meets a closed door; the page stands still till the visitor has gone."""
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    with serving(path) as server:
        at = urlsplit(server.address)
        asked = f"GET /state HTTP/1.1\r\nHost: {at.netloc}\r\n\r\n".encode()
        with visit(at) as visitor:  # it is ready, and turns away who has no cookie
            visitor.sendall(asked)
            before = visitor.recv(100)
        server.process.send_signal(signal.SIGSTOP)
        with visit(at) as visitor:
            visitor.sendall(asked)
        server.process.send_signal(signal.SIGCONT)
        with visit(at) as visitor:
            visitor.sendall(asked)
            after = visitor.recv(100)
        ended = server.process.poll()

    assert before.startswith(b"HTTP/1.1 403")
    assert (before, None) == (after, ended)


def visit(at: SplitResult) -> socket.socket:
    return socket.create_connection((at.hostname, at.port), timeout=60)


def test_the_browser_is_given_a_private_file_and_no_key_among_its_arguments(
    browser: Browser, case: Path, tmp_path: Path
) -> None:
    """As another user sees them, who may list the arguments of all programs but not read the file."""
    program, given = tmp_path / "browser", tmp_path / "arguments"
    program.write_text(f'#!/bin/sh\nprintf "%s\\n" "$@" > {given}.part && mv {given}.part {given}\n')
    program.chmod(0o700)
    server = Server(case, browser=f"{program} %s")
    key = server.key()
    while not given.exists():
        time.sleep(0.05)
    (address,) = given.read_text().splitlines()
    file = Path(unquote(urlsplit(address).path))
    rights = [stat.S_IMODE(path.stat().st_mode) for path in (file, file.parent)]
    page = browser.new_page()
    page.goto(address)
    page.wait_for_selector("#cards .card", state="attached")
    shown_at, told = page.url, server.key()
    page.goto(address)  # the same once more
    page.wait_for_selector("#key")
    refused = page.locator("[role=alert]").inner_text()
    page.close()
    server.end()

    assert key not in address
    assert (server.address, [0o600, 0o700]) == (shown_at, rights)
    assert "That is not the key. Each lets in one browser, once." == refused
    assert told != key
    assert not file.parent.exists()


def test_told_to_end_it_ends_as_with_an_interrupt(case: Path) -> None:
    server = Server(case, stderr=subprocess.PIPE)
    server.process.terminate()
    _, told = server.process.communicate(timeout=60)

    assert (0, "") == (server.process.returncode, told)


def test_where_no_file_can_be_written_the_browser_is_given_the_page_that_asks_for_the_key(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(launch, "letter", full)
    with ExitStack() as until:
        assert "http://127.0.0.1:8000/" == launch._way_in("http://127.0.0.1:8000", Door(print), until)
