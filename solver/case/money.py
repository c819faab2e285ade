"""Money as whole minor units (cents), with the number of digits that the CLDR data of babel give each currency.

CLDR counts the decimals in use: a few currencies have fewer than ISO 4217 lists (RSD 0 for 2, IQD 0 for 3).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache, lru_cache

from babel.core import get_global


@dataclass(frozen=True, slots=True)
class Cost:
    """A band of money in minor units, low to high."""

    low: int = 0
    high: int = 0

    def __add__(self, other: Cost) -> Cost:
        return Cost(self.low + other.low, self.high + other.high)


@dataclass(frozen=True, slots=True)
class Purse:
    """How this case pays: hourly rates and the rate of exchange, all exact."""

    digits: int
    bench_per_hour: Decimal
    chair_per_hour: Decimal
    exchange: Decimal

    def minor(self, amount: Decimal | float) -> int:
        """An amount of the case's currency in minor units, halves away from zero."""
        return int((_exact(amount) * 10**self.digits).quantize(Decimal(1), ROUND_HALF_UP))

    def price(self, low: float, high: float) -> Cost:
        """A catalogue price band in the case's minor units."""
        return _price(self, low, high)

    def minutes(self, bench: tuple[float, float], chair: tuple[float, float]) -> Cost:
        """Bench and chair minutes at the case's rates."""
        return _minutes(self, bench, chair)


@lru_cache(maxsize=4096)  # few prices, asked for by hundreds of candidates
def _price(purse: Purse, low: float, high: float) -> Cost:
    return Cost(purse.minor(_exact(low) * purse.exchange), purse.minor(_exact(high) * purse.exchange))


@lru_cache(maxsize=4096)
def _minutes(purse: Purse, bench: tuple[float, float], chair: tuple[float, float]) -> Cost:
    low, high = (
        purse.minor((_exact(bench[i]) * purse.bench_per_hour + _exact(chair[i]) * purse.chair_per_hour) / 60)
        for i in (0, 1)
    )
    return Cost(low, high)


def _exact(amount: Decimal | float) -> Decimal:
    return amount if isinstance(amount, Decimal) else Decimal(repr(amount))


@cache
def currencies() -> frozenset[str]:
    """The ISO 4217 codes that are legal tender somewhere today, by babel's CLDR data."""
    rows = (row for territory in get_global("territory_currencies").values() for row in territory)
    return frozenset(code for code, _, ended, tender in rows if tender and ended is None)


def minor_digits(currency: str) -> int:
    """Digits after the decimal mark (CLDR): 2 for EUR, 0 for JPY, 3 for KWD."""
    fractions = get_global("currency_fractions")
    return int(fractions.get(currency, fractions["DEFAULT"])[0])


def major(minor: int, digits: int) -> Decimal:
    """Minor units as a decimal amount with exactly `digits` decimals."""
    return Decimal(minor).scaleb(-digits)
