"""One line of measured data, what regrip makes of it, and how the two stand."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from tests.published.check import Known

NO_LESS = (1.0 - 1e-9, math.inf)
"""A ratio of one or more: only an order is known."""
TRUE = (1.0, 1.0)
"""A rule: it holds of all that is looked at."""


class Standing(StrEnum):
    """Whether regrip agrees with a line."""

    AGREES = "agrees"
    """Within what the paper's spread, or its order, allows."""
    OPEN = "open"
    """It does not, or cannot be told: a number of the paper is missing, or a figure of the catalogue is doubtful."""
    LIMIT = "known limit"
    """It does not and will not: regrip's statics leave out what the rig or the part does."""


@dataclass(frozen=True, slots=True)
class Row:
    """A line by its number in the collection of measured data.

    `ours` is regrip's figure, `accepted` the least and most that agree with the paper, None where the paper's figure
    is not known; `why` says where these come from, and for what stands open or is a limit, why.
    """

    line: str
    claim: str
    source: str
    known: Known
    ours: Callable[[], float]
    accepted: tuple[float, float] | None
    standing: Standing
    why: str

    def agrees(self) -> bool:
        """True where regrip's figure is accepted."""
        return self.accepted is not None and self.accepted[0] <= self.ours() <= self.accepted[1]
