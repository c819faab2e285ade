"""What a command gave back, and a case to give to commands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple, Protocol

HEAD = ("format", "program", "answer", "money")


class Ran(NamedTuple):
    """Exit code and both streams."""

    code: int
    out: str
    err: str

    @property
    def answer(self) -> Any:
        """Standard output as JSON."""
        return json.loads(self.out)

    @property
    def content(self) -> Any:
        """The answer without the head that every answer has."""
        return {key: value for key, value in self.answer.items() if key not in HEAD}


class Run(Protocol):
    """Runs one command."""

    def __call__(self, *arguments: str | Path, stdin: str = "") -> Ran: ...


class Stage(Protocol):
    """Lays case files and a catalogue out; what it gives runs commands there, without blanks at the ends of lines."""

    def __call__(self, data: Path, **cases: str) -> Run: ...


CASE = """\
case: test
arch: lower
supports:
  i43: {tooth: 43}
  i41: {tooth: 41}
  i33: {tooth: 33}
segments:
  A: {between: [i43, i41], section: round, width_mm: 1.8}
  B: {between: [i41, i33], section: round, width_mm: 1.8}
ends:
  L: {on: i33, length_mm: 8, ball_mm: 2.2}
room: {room_mm: 12, breadth_mm: 9}
money: {currency: EUR, bench_per_hour: 40, chair_per_hour: 100}
"""
