"""A figure of the trade: a band of values, its unit, and how it is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, Self


class Known(StrEnum):
    """How far a figure may be trusted; printed beside it."""

    PUBLISHED = "published"
    """Read in the abstract, opening or a table of the source named."""
    SECOND_HAND = "second-hand"
    """Read in a teaching page or review that quotes others."""
    DERIVED = "derived"
    """Arithmetic or first principles from figures that are named."""
    CHOSEN = "chosen here"
    """A starting value picked for this program, from the figures that are named."""
    MEMORY = "memory"
    """Recalled, the original not seen; to be checked before it is relied upon."""


class Place(StrEnum):
    """Where a value lies against a band; the edges count as inside."""

    BELOW = "below"
    INSIDE = "inside"
    ABOVE = "above"


class Interval(NamedTuple):
    """Lowest and highest value."""

    low: float
    high: float

    def place(self, value: float) -> Place:
        """Say whether `value` lies below, inside or above."""
        if value < self.low:
            return Place.BELOW
        return Place.ABOVE if value > self.high else Place.INSIDE


@dataclass(frozen=True, slots=True)
class Sourced:
    """A band with its unit and its origin; a single value is a band of no width."""

    interval: Interval
    unit: str
    known: Known
    source: str
    note: str = ""

    @classmethod
    def single(cls, value: float, unit: str, known: Known, source: str, note: str = "") -> Self:
        """Make a figure that is one value."""
        return cls(Interval(value, value), unit, known, source, note)

    @property
    def middle(self) -> float:
        """Mean of the two edges; the value itself where there is only one."""
        return (self.interval.low + self.interval.high) / 2.0
