"""Numbers as people write them: what a text that is no number most likely means, with a point."""

from __future__ import annotations

import re

_GROUPED = re.compile(r"([-+]?)(\d+(?:[.,' \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]\d+)*)")


def meant(text: str) -> str | None:
    """The number with a point and nothing between thousands; None where the text begins with none.

    Of points and commas the last is the decimal sign, unless it stands more than once: `1.000,00` is a thousand,
    `1,95` less than two.

    >>> meant("1.000,00"), meant("1,95"), meant("1'000"), meant("1,000,000"), meant("wide")
    ('1000.00', '1.95', '1000', '1000000', None)
    """
    found = _GROUPED.match(text.strip())
    if found is None:
        return None
    sign, digits = found.groups()
    marks = re.findall(r"[.,]", digits)
    if not marks or marks.count(marks[-1]) > 1:
        return sign + _digits(digits)
    whole, _, decimals = digits.rpartition(marks[-1])
    return f"{sign}{_digits(whole)}.{_digits(decimals)}"


LENGTHS_MM = {
    **dict.fromkeys(("inch", "inches", "in"), 25.4), **dict.fromkeys(("um", "µm", "μm", "micron", "microns"), 0.001),
    "cm": 10.0, "m": 1000.0,
}  # fmt: skip
"""Units of length that people write where mm are asked for, in mm."""

OWN_UNITS = frozenset({"mm", "n", "deg", "degree", "degrees", "°"})
"""The units that the names of keys end in."""


def unit_of(text: str) -> str:
    """What stands behind the number, in small letters; empty where nothing does.

    >>> unit_of("0.07 Inch"), unit_of("1.8")
    ('inch', '')
    """
    return re.sub(r"^[-+\d.,'\s]+", "", text).strip().lower()


def in_mm(text: str) -> str | None:
    """The length in mm, to four figures; None where the text is no number with another unit of length.

    >>> in_mm("0.07 inch"), in_mm("30 um"), in_mm("1.8 mm")
    ('1.778', '0.03', None)
    """
    number, factor = meant(text), LENGTHS_MM.get(unit_of(text))
    return None if number is None or factor is None else f"{float(number) * factor:.4g}"


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)
