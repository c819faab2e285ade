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


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)
