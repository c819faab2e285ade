"""Questions and answers, one at a time: from a person at a terminal, or line by line from a file or pipe."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

import click

from cli.exit import BadInput

T = TypeVar("T")

_NARROWEST = 30
_ROOM = 10
"""Columns kept free behind a question, for the answer."""

_NOT_KNOWN = frozenset({"?", "unknown", "don't know", "dont know", "do not know", "not known"})


class Unusable(Exception):
    """An answer that cannot be taken; `advice` says what to answer instead."""

    def __init__(self, problem: str, advice: str = "") -> None:
        super().__init__(problem, advice)
        self.problem, self.advice = problem, advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}" if self.advice else self.problem


class Ended(BadInput):
    """There are no more lines to take answers from."""


class Asker(Protocol):
    """Puts questions. `take` turns an answer into a value or raises `Unusable`."""

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """The value of the answer; an empty answer is the default where there is one."""
        ...

    def tell(self, said: str) -> None:
        """Say how an answer was understood."""
        ...


class Terminal:
    """A person: a bad answer is explained and the question put again."""

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """Put one question until its answer can be taken; raises `click.Abort` on Ctrl-C."""
        shown = question if default is None else f"{question} [{default}]"
        while True:
            *above, last = _wrapped(shown, _ROOM) or [""]
            click.echo("".join(f"{line}\n" for line in above), nl=False, err=True)
            answer = click.prompt(
                last, default=default or "", show_default=False, prompt_suffix=_suffix(shown), err=True
            )
            try:
                return take(_given(answer))
            except Unusable as unusable:
                _aside(str(unusable))

    def tell(self, said: str) -> None:
        """Say it under the answer."""
        _aside(said)


class Script:
    """Lines: a bad answer ends it, because the lines after it would answer other questions."""

    def __init__(self, lines: Iterable[str]) -> None:
        self._lines = iter(lines)
        self._read = 0

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """Take the next line; raises `BadInput` where there is none or it cannot be taken."""
        line = next(self._lines, None)
        if line is None:
            raise Ended(f"the answers end before '{question}'", "one line an answer; an empty line is the default")
        self._read += 1
        answer = line.strip() or default or ""
        click.echo(f"{question}{_suffix(question)}{answer}", err=True)
        try:
            return take(_given(answer))
        except Unusable as unusable:
            raise BadInput(f"answer {self._read}, {question}: {unusable.problem}", unusable.advice) from None

    def tell(self, said: str) -> None:
        """Say it under the line."""
        _aside(said)


class Quick:
    """Asks another only what has no default."""

    def __init__(self, other: Asker) -> None:
        self._other = other

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """The default at once, else the answer of the other."""
        return self._other.ask(question, take) if default is None else take(default)

    def tell(self, said: str) -> None:
        """As the other does."""
        self._other.tell(said)


class ToTheEnd:
    """Asks another as long as it has answers, and takes defaults from then on: what older lists of answers lack."""

    def __init__(self, other: Asker) -> None:
        self._other = other

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """The answer of the other; the default where it has none any more."""
        try:
            return self._other.ask(question, take, default)
        except Ended:
            if default is None:
                raise
            return take(default)

    def tell(self, said: str) -> None:
        """As the other does."""
        self._other.tell(said)


def asker(*, quick: bool) -> Asker:
    """A person where standard input is a terminal, else its lines."""
    found: Asker = Terminal() if sys.stdin.isatty() else Script(sys.stdin)
    return Quick(found) if quick else found


def is_not_known(answer: str) -> bool:
    """True for the ways to say that one does not know."""
    return answer.strip().casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'") in _NOT_KNOWN


def _aside(said: str) -> None:
    click.echo("\n".join(f"  {line}" for line in _wrapped(said, 2)), err=True)


def _given(answer: str) -> str:
    """The answer; raises `Unusable` for none."""
    if not answer.strip():
        raise Unusable("an answer is needed", '`?` is "don\'t know"')
    return answer


def _wrapped(text: str, room: int) -> list[str]:
    """Lines that break between words and leave so many columns free."""
    width = max(shutil.get_terminal_size().columns, _NARROWEST)
    return textwrap.wrap(text, width - room, break_on_hyphens=False)


def _suffix(question: str) -> str:
    return " " if question.endswith("?") else ": "
