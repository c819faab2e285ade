"""What a mix costs, high end, by exact fractions of the case's minor unit."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from babel.core import get_global

from catalogue.blocks import Recall, Service
from catalogue.models import Attachment, Rework
from solver.audit.second_opinion.world import World


class Prices:
    """Prices of one case."""

    def __init__(self, world: World) -> None:
        self.world, money = world, world.case.money
        decimals = get_global("currency_fractions")
        self.scale = 10 ** int(decimals.get(money.currency, decimals["DEFAULT"])[0])
        foreign = money.exchange is not None and money.currency != world.catalogue.currency
        self.rate = _exact(money.exchange) if foreign else Fraction(1)
        self.bench, self.chair = _exact(money.bench_per_hour), _exact(money.chair_per_hour)

    @property
    def cap(self) -> int | None:
        """Most that the whole may cost."""
        cap = self.world.case.money.cap
        return None if cap is None else self._minor(_exact(cap))

    def high(self, entry: Attachment | Rework | Service | Recall) -> int:
        """One part, step, renewal or visit."""
        minutes = _exact(entry.work.bench[1]) * self.bench + _exact(entry.work.chair[1]) * self.chair
        return self._minor(_exact(entry.price.high) * self.rate) + self._minor(minutes / 60)

    def fitted(self, attachment: Attachment, count: int, reworks: Iterable[Rework]) -> int:
        """An attachment with its steps, but for those that are paid once a case."""
        return count * self.high(attachment) + sum(self.high(rework) for rework in reworks if not rework.once)

    def visits(self) -> int:
        """Regular visits over the years of the case, and what the denture itself takes."""
        defaults = self.world.catalogue.defaults
        denture = sum(self.repeated(due) for due in defaults.denture)
        return denture + (self.repeated(defaults.recall) if defaults.recall else 0)

    def repeated(self, due: Service | Recall) -> int:
        """Every month within the years, but the last, at which it is due at the sooner interval."""
        months = range(1, 12 * self.world.case.money.years)
        return sum(self.high(due) for month in months if month % due.months[0] == 0)

    def _minor(self, amount: Fraction) -> int:
        return int(amount * self.scale + Fraction(1, 2))


def _exact(amount: float | None) -> Fraction:
    return Fraction(str(amount or 0))
