"""What a candidate costs after it is fitted: renewals of its parts, and the regular visits whatever is fitted.

The low end counts the later interval, the lower price and the fewer minutes; the high end the opposite of each.
"""

from __future__ import annotations

from catalogue.blocks import Recall, Service
from catalogue.models import Attachment
from solver.case.money import Cost, Purse
from solver.handbook.wear import renewals


def renewed_times(service: Service | Recall, years: int) -> tuple[int, int]:
    """Renewals or visits within some years, fewest and most; one due on the last day is not counted."""
    sooner, later = service.months
    return renewals(years, later), renewals(years, sooner)


def upkeep_cost(attachment: Attachment, count: int, years: int, purse: Purse) -> Cost:
    """Renewals of `count` parts within some years; nothing where the catalogue names no service."""
    return _repeated(attachment.service, count, years, purse)


def recall_cost(recall: Service | Recall | None, years: int, purse: Purse) -> Cost:
    """Regular visits within some years, or what the denture itself takes."""
    return _repeated(recall, 1, years, purse)


def _repeated(service: Service | Recall | None, count: int, years: int, purse: Purse) -> Cost:
    if service is None:
        return Cost()
    fewest, most = renewed_times(service, years)
    once = purse.price(service.price.low, service.price.high) + purse.minutes(service.work.bench, service.work.chair)
    return Cost(count * fewest * once.low, count * most * once.high)
