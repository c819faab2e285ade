"""The process of the page: an interrupt ends it, however early it comes, and a visitor who hangs up does not."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
from pathlib import Path
from urllib.parse import SplitResult, urlsplit

import pytest

from tests.cli.page.browser import serving
from tests.cli.page.cases import TEXT

pytest.importorskip("uvicorn", reason="the extra `page` is not installed")
INTERRUPTED = """
import signal, sys
from pathlib import Path
from urllib.parse import SplitResult, urlsplit
from cli.page.launch import launch

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
    address, work, as_before = ran.stdout.split()
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
