"""However early the interrupt comes, the page ends and leaves the handling of interrupts as it was."""

from __future__ import annotations

import signal
import socket
from pathlib import Path

import pytest

from tests.cli.page.cases import TEXT

launch = pytest.importorskip("cli.page.launch", reason="the extra `page` is not installed").launch


def test_an_interrupt_as_soon_as_the_address_is_told_ends_the_page(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)
    before = signal.getsignal(signal.SIGINT)
    told: list[str] = []

    def tell(address: str) -> None:
        told.append(address)
        signal.raise_signal(signal.SIGINT)

    all_saved = launch(path, (), port=0, browser=False, tell=tell)
    port = int(told[0].removeprefix("http://127.0.0.1:").split("/")[0])

    assert (True, before) == (all_saved, signal.getsignal(signal.SIGINT))
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", port), timeout=5)
