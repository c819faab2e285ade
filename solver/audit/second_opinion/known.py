"""What is remembered of mixes whose parts are a subset of others, so that few linear programmes are solved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

from solver.audit.second_opinion.pieces import Piece

Parts: TypeAlias = frozenset[tuple[str, str, int]]
"""Which attachment, how often, at which site: all that mechanics knows of a mix."""


def parts_of(mix: Iterable[Piece]) -> Parts:
    """The parts of a mix."""
    return frozenset(piece.moves_as for piece in mix)


class Known:
    """Whether something holds of a mix that holds of all larger ones too: held, too firm, or stopped."""

    def __init__(self) -> None:
        self._holds: list[Parts] = []
        self._fails: list[Parts] = []

    def holds(self, parts: Parts, found: Callable[[], bool]) -> bool:
        """What follows from smaller or larger mixes, else what is found."""
        if any(smaller <= parts for smaller in self._holds):
            return True
        if any(parts <= larger for larger in self._fails):
            return False
        holds = found()
        (self._holds if holds else self._fails).append(parts)
        return holds
