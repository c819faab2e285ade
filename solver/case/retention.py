"""How firmly a part holds: new at either end of its band, and when its first renewal is due.

New retention is counted on at its low end. Worn retention takes the middle of the band, of the loss and of the
insertions a day, and never more than the low end when new: bands come from different studies, and all of them at
their worst at once is nobody's denture.
"""

from __future__ import annotations

from enum import Enum

from catalogue.models import Attachment
from solver.handbook.sourced import Interval
from solver.handbook.wear import DAYS_PER_YEAR, MONTHS_PER_YEAR, Wear


class Condition(Enum):
    """NEW: the low end as fitted. WORN: what is left when the first renewal is due. TIGHT: the high end as fitted."""

    NEW = "new"
    WORN = "worn"
    TIGHT = "tight"

    def __lt__(self, other: Condition) -> bool:
        return self.value < other.value


def retention_n(attachment: Attachment, condition: Condition, per_day: Interval, years: int) -> float:
    """Return what one part holds, N; a part that is never renewed is looked at when the years of the case end."""
    band = attachment.retention_n
    if condition is Condition.TIGHT:
        return band.high
    if condition is Condition.NEW:
        return band.low
    months = attachment.service.months[0] if attachment.service else years * int(MONTHS_PER_YEAR)
    return min(band.low, worn_n(attachment, (band.low + band.high) / 2, months, per_day))


def worn_n(attachment: Attachment, new_n: float, months: float, per_day: Interval) -> float:
    """Return what is left of a retention after some months, at the middle of loss and use; all of it if unknown."""
    wear = attachment.wear
    if wear is None:
        return new_n
    insertions = months / MONTHS_PER_YEAR * DAYS_PER_YEAR * (per_day.low + per_day.high) / 2
    return Wear(sum(wear.loss) / 2, wear.cycles).retention_after_n(new_n, insertions)
