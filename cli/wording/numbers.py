"""Numbers, dates and money as a locale writes them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent

from cli.exit import BadInput
from solver.case.measure import Measure
from solver.case.money import Cost, major
from solver.case.schema import Case

DEFAULT_LOCALE = "en"
"""Used where neither the command line nor the case names one."""


@dataclass(frozen=True, slots=True)
class Figures:
    """How figures are written. `locale` is a CLDR name such as `de_DE`."""

    locale: Locale

    @classmethod
    def of(cls, name: str | None) -> Figures:
        """From the name of a locale; raises `ValueError` or `UnknownLocaleError` for one CLDR does not know."""
        return cls(Locale.parse(name or DEFAULT_LOCALE))

    def number(self, value: float, digits: int = 1) -> str:
        """A number with exactly `digits` decimals."""
        rounded = round(value, digits) + 0.0  # no minus before a zero
        return str(format_decimal(rounded, format=f"#,##0.{'0' * digits}" if digits else "#,##0", locale=self.locale))

    def plain(self, value: float) -> str:
        """A number with as many decimals as it has, three at most."""
        return str(format_decimal(round(value, 3) + 0.0, format="#,##0.###", locale=self.locale))

    def measure(self, measured: Measure) -> str:
        """A measured value with its error, or `unknown`."""
        if measured.value is None:
            return str(measured)
        value = self.plain(measured.value)
        return f"{value} \N{PLUS-MINUS SIGN} {self.plain(measured.error)}" if measured.error else value

    def span(self, low: float, high: float, digits: int = 1) -> str:
        """`5.0 to 12.0`; one figure where both are written alike."""
        least, most = self.number(low, digits), self.number(high, digits)
        return least if least == most else f"{least} to {most}"

    def share(self, value: float) -> str:
        """A share of one as a percentage."""
        return str(format_percent(value, locale=self.locale))

    def number_beside(self, value: float, limit: float) -> tuple[str, str]:
        """A number and the limit that it misses, with one decimal, or with as many as tell them apart."""
        digits = _digits_apart(value, limit, 1)
        return self.number(value, digits), self.number(limit, digits)

    def share_beside(self, value: float, limit: float) -> tuple[str, str]:
        """A share and the limit that it misses, in whole per cent, or with as many decimals as tell them apart."""
        digits = _digits_apart(100 * value, 100 * limit, 0)
        said, asked = (
            str(format_percent(round(each, digits + 2) + 0.0, locale=self.locale, decimal_quantization=False))
            for each in (value, limit)
        )
        return said, asked

    def money(self, minor: int, currency: str, digits: int) -> str:
        """An amount of money with its currency."""
        return str(format_currency(major(minor, digits), currency, locale=self.locale))

    def cost(self, band: Cost, currency: str, digits: int) -> str:
        """A band of money; one amount where both ends agree."""
        low, high = (self.money(end, currency, digits) for end in (band.low, band.high))
        return low if low == high else f"{low} to {high}"

    def plain_cost(self, band: Cost, currency: str, digits: int) -> str:
        """A band of money with the currency code behind: `97.50 to 155.83 EUR`."""
        low, high = (self.number(float(major(end, digits)), digits) for end in (band.low, band.high))
        return f"{low if low == high else f'{low} to {high}'} {currency}"

    def said(self, minor: int, digits: int) -> str:
        """An amount as people say it: to the next 5, from 100 on to the next 10, from 1,000 on to the next 50."""
        amount = float(major(minor, digits))
        step = 5 if amount < 100 else 10 if amount < 1000 else 50
        return self.number(round(amount / step) * step, 0)

    def date(self, day: datetime.date) -> str:
        """A date in the usual short form."""
        return str(format_date(day, format="medium", locale=self.locale))


def figures_of(locale: str | None, case: Case) -> Figures:
    """How to write figures: the option goes before the case; raises `BadInput` for what is no locale."""
    try:
        return Figures.of(locale or case.locale)
    except (ValueError, UnknownLocaleError):
        raise BadInput(f"'{locale}' is no locale", "e.g. `--locale de_DE`") from None


MOST_DIGITS = 4


def _digits_apart(one: float, other: float, least: int) -> int:
    """Decimals, from `least` on, with which two figures are not written alike."""
    return next((n for n in range(least, MOST_DIGITS) if round(one, n) != round(other, n)), least)
