"""What a candidate costs: parts, bench and chair minutes at the case's rates, reworks."""

from __future__ import annotations

from decimal import Decimal

from catalogue.blocks import WhatIf, Work
from catalogue.models import Attachment, Catalogue, Rework
from catalogue.sheet import Finding
from solver.case.money import Cost, Purse, minor_digits
from solver.case.schema import Case


class NoExchange(Exception):
    """The case and the catalogue use different currencies and the case gives no rate."""

    def __init__(self, case_currency: str, catalogue_currency: str) -> None:
        super().__init__(case_currency, catalogue_currency)
        self.case_currency, self.catalogue_currency = case_currency, catalogue_currency

    def finding(self) -> Finding:
        """The mistake as one of the case file."""
        return Finding(
            f"prices are in {self.catalogue_currency} and the case is in {self.case_currency}",
            f"give `exchange`: {self.case_currency} for one {self.catalogue_currency}",
        )


def purse_of(case: Case, catalogue: Catalogue) -> Purse:
    """How a case pays for what the catalogue prices; raises `NoExchange`."""
    money = case.money
    if money.currency != catalogue.currency and money.exchange is None:
        raise NoExchange(money.currency, catalogue.currency)
    exchange = money.exchange if money.currency != catalogue.currency else None  # one's own money needs no rate
    rates = (money.bench_per_hour, money.chair_per_hour, exchange or 1)
    return Purse(minor_digits(money.currency), *(Decimal(str(rate)) for rate in rates))


def candidate_cost(attachment: Attachment, count: int, reworks: tuple[Rework, ...], purse: Purse) -> Cost:
    """Parts and minutes of `count` attachments and of the reworks paid at this site."""
    one = purse.price(attachment.price.low, attachment.price.high) + _minutes(attachment.work, purse)
    total = Cost(count * one.low, count * one.high)
    for rework in reworks:
        if not rework.once:
            total += rework_cost(rework, purse)
    return total


def rework_cost(rework: Rework | WhatIf, purse: Purse) -> Cost:
    """One rework, or a way out that is only priced: material or fee, and minutes."""
    return purse.price(rework.price.low, rework.price.high) + _minutes(rework.work, purse)


def _minutes(work: Work, purse: Purse) -> Cost:
    return purse.minutes(work.bench, work.chair)
