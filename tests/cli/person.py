"""Somebody at a terminal: a command behind a pseudo-terminal, typed to when it has asked."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
from contextlib import suppress
from pathlib import Path

ROOT = Path(__file__).parents[2]

# Python leaves Ctrl-C alone where whoever started it ignores it, as a shell does for what runs in the background.
START = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); import cli.main; cli.main.main()"


_STEERING = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")
_QUESTION = re.compile(r"(?P<number>\d+)\. (?P<text>[A-Z].*?(\[[^\]]*\]|\((lower, upper)\)|e\.g\. 43 33)): $")


class Person:
    """Somebody at a terminal, who types an answer when the text before it has come."""

    def __init__(self, *arguments: str, columns: int = 0) -> None:
        self._hand, screen = pty.openpty()
        if columns:
            fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-c", START, *arguments],
            stdin=screen,
            stdout=screen,
            stderr=screen,
            env={name: value for name, value in os.environ.items() if name != "COLUMNS"} | {"PYTHONPATH": str(ROOT)},
        )
        os.close(screen)
        self._seen = self.read = ""
        self.planned_after: int | None = None

    def reads(self, text: str) -> None:
        """Wait for it; what has been read is not read again."""
        while text not in self._seen:
            ready, _, _ = select.select([self._hand], [], [], 30)
            assert ready, f"waited for {text!r}, saw {self._seen!r}"
            more = os.read(self._hand, 4096).decode()
            self._seen += more
            self.read += more
        self._seen = self._seen.partition(text)[2]

    def asks(self) -> str:
        """Wait for the next numbered question with its default; empty where the command ends first."""
        while not (found := _QUESTION.search(self.screen)) and self._reads_on():
            pass
        self._seen = ""
        return found["text"] if found else ""

    @property
    def screen(self) -> str:
        """What has come since the last answer, as words."""
        return " ".join(_STEERING.sub("", self._seen).split()) + " "

    def _reads_on(self) -> bool:
        ready, _, _ = select.select([self._hand], [], [], 60)
        assert ready, f"waited for a question, saw {self._seen!r}"
        try:
            more = os.read(self._hand, 4096).decode()
        except OSError:  # the command has gone
            return False
        self._seen += more
        self.read += more
        return bool(more)

    def types(self, answer: str) -> None:
        os.write(self._hand, f"{answer}\n".encode())

    def presses_ctrl_c(self) -> None:
        """Again where Python was just about to wait for a key, and so did not see the first."""
        while self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(3)

    def leaves(self) -> int:
        return self.process.wait(30)

    def __enter__(self) -> Person:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        os.close(self._hand)
