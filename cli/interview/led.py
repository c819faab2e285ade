"""Words that lead a conversation instead of answering it: back, skip, stop."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from cli.interview.prompts import Asker

T = TypeVar("T")


class Back(Exception):
    """The answer before is to be given again."""


class Skip(Exception):
    """Another question first."""


class Stop(Exception):
    """Enough is told."""


_LEADS: dict[str, type[Exception]] = {"back": Back, "skip": Skip, "stop": Stop}


class Led:
    """Puts the questions of another asker; `back`, `skip` and `stop` come up as exceptions."""

    def __init__(self, other: Asker) -> None:
        self._other = other

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """The value of the answer; raises `Back`, `Skip` or `Stop`."""

        def heard(text: str) -> T:
            if lead := _LEADS.get(text.strip().casefold()):
                raise lead
            return take(text)

        return self._other.ask(question, heard, default)

    def tell(self, said: str) -> None:
        """As the other does."""
        self._other.tell(said)
