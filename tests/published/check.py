"""One claim from outside the project, and what regrip makes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import pytest


class Known(StrEnum):
    """How a claim is known; nothing is claimed beyond it."""

    READ = "read"
    SECOND_HAND = "second-hand"
    DERIVED = "read, derived"
    MEMORY = "memory"
    OURS = "ours"


LEGEND = {
    Known.READ: "the figure was read in the publication or page named, mostly in its abstract or opening",
    Known.SECOND_HAND: "read in a teaching page or a paper that quotes others",
    Known.DERIVED: "inputs or rule were read; the figure follows from them and was worked out apart from regrip",
    Known.MEMORY: "recalled; the original was not seen, whatever is cited",
    Known.OURS: "no publication is claimed: worked out by hand or by another program",
}


@dataclass(frozen=True, slots=True)
class Check:
    """A claim with its full citation, how it is known, the figure, and how regrip comes to its own.

    `tolerance` is absolute, in the unit of the figure; with `relative` it is a share of it.
    """

    claim: str
    source: str
    known: Known
    expected: Any
    ours: Callable[[], Any]
    tolerance: float = 0.0
    relative: bool = False

    def agrees_with(self, value: Any) -> bool:
        """Numbers within the tolerance, everything else the same."""
        if not _is_numeric(self.expected):
            return bool(self.expected == value)
        if not self.tolerance:
            return bool(value == pytest.approx(self.expected))
        if self.relative:
            return bool(value == pytest.approx(self.expected, rel=self.tolerance))
        return bool(value == pytest.approx(self.expected, abs=self.tolerance))


def _is_numeric(value: Any) -> bool:
    if isinstance(value, tuple):
        return bool(value) and all(isinstance(number, int | float) for number in value)
    return isinstance(value, int | float) and not isinstance(value, bool)
