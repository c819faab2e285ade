"""What the explanation algorithms hand back."""

from __future__ import annotations

from collections.abc import Generator, Hashable, Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)
Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class Clash(Generic[T]):
    """Constraints that cannot hold together (a minimal unsatisfiable set, MUS, where proved minimal).

    `members` stand in the caller's order. That they clash is always proved; `proved_minimal` says whether it
    is also proved that all of them are needed for that. No members: what always holds clashes by itself.
    """

    members: tuple[T, ...]
    proved_minimal: bool


@dataclass(frozen=True, slots=True)
class WaiverSet(Generic[T]):
    """A minimal correction set (MCS): without `members` the rest can hold; without fewer of them it cannot.

    `members` stand in the caller's order; `weight` is the sum of their weights.
    """

    members: tuple[T, ...]
    weight: int


class Ending(Enum):
    """How far a listing came."""

    STOPPED = "stopped"
    """The caller has not read it to its end."""
    COMPLETE = "complete"
    """All there are have been listed."""
    BOUNDED = "bounded"
    """All within the size bound have been listed; there may be larger ones."""
    UNDECIDED = "undecided"
    """The oracle left questions open: what was listed is right, more may exist."""


class Listing(Iterator[Item]):
    """Finds one by one as they are proved; `ending` says whether they are all.

    Stop reading at any moment: each find stands by itself, whatever would have come after it.
    """

    def __init__(self, steps: Generator[Item, None, Ending]) -> None:
        self._steps = steps
        self._ending = Ending.STOPPED

    @property
    def ending(self) -> Ending:
        """STOPPED until the listing has been read to its end."""
        return self._ending

    def __next__(self) -> Item:
        try:
            return next(self._steps)
        except StopIteration as stop:
            if isinstance(stop.value, Ending):  # reading past the end raises StopIteration without a value
                self._ending = stop.value
            raise StopIteration from None
