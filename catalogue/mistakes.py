"""Mistakes in a file that a person wrote: where, what, and what to write instead."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A position in a text file; line and column count from 1, as editors do."""

    path: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Mistake:
    """One thing wrong in a file.

    `where` is the dotted path of the value (`segments.B.width_mm`), empty for the file as a whole.
    """

    place: Place
    where: str
    problem: str
    advice: str = ""

    def __str__(self) -> str:
        where = f"{self.where}: " if self.where else ""
        advice = f"; {self.advice}" if self.advice else ""
        return f"{self.place}: {where}{self.problem}{advice}"


class InputError(Exception):
    """A file cannot be used; carries every mistake found in it, in order of line."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        super().__init__(mistakes)
        self.mistakes = tuple(sorted(mistakes))

    def __str__(self) -> str:
        return "\n".join(str(mistake) for mistake in self.mistakes)
