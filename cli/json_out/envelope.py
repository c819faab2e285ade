"""The head of every answer for machines: its format, who made it, what it is, and what money is counted in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cli.version import FORMAT, version
from solver.case.money import major, minor_digits


def headed(answer: str, content: Mapping[str, Any], currency: str | None = None) -> dict[str, Any]:
    """The content under its head; `currency` is that of every amount in it, where there are amounts."""
    head: dict[str, Any] = {"format": FORMAT, "program": f"regrip {version()}", "answer": answer}
    if currency is not None:
        digits = minor_digits(currency)
        head["money"] = {"currency": currency, "digits": digits, "unit": f"{major(1, digits)} {currency}"}
    return head | dict(content)
