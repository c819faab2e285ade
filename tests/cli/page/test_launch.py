"""However early the interrupt comes, the page ends and leaves the handling of interrupts as it was."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.page.cases import TEXT

pytest.importorskip("uvicorn", reason="the extra `page` is not installed")
INTERRUPTED = """
import signal, sys
from pathlib import Path
from cli.page.launch import launch

def tell(address):
    print(address)
    signal.raise_signal(signal.SIGINT)

before = signal.getsignal(signal.SIGINT)
print(launch(Path(sys.argv[1]), (), port=0, browser=False, tell=tell))
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
    address, all_saved, as_before = ran.stdout.split()
    assert ("True", "True") == (all_saved, as_before)
    port = int(address.removeprefix("http://127.0.0.1:").split("/")[0])
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", port), timeout=5)
