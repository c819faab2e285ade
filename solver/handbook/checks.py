"""Refusing numbers for which a formula means nothing."""

from __future__ import annotations

import math


class OutOfDomain(ValueError):
    """A quantity lies where the formula that asked for it does not hold."""

    def __init__(self, name: str, value: float, wanted: str) -> None:
        self.name, self.value, self.wanted = name, value, wanted
        super().__init__(name, value, wanted)

    def __str__(self) -> str:
        return f"{self.name}: {self.wanted}, got {self.value:g}"


def check_positive(**quantities: float) -> None:
    """Refuse, by name, the first quantity that is not a finite number above zero.

    Raises:
        OutOfDomain: with the name and the value.
    """
    for name, value in quantities.items():
        if not (math.isfinite(value) and value > 0.0):
            raise OutOfDomain(name, value, "must be finite and above zero")


def check_not_negative(**quantities: float) -> None:
    """Refuse, by name, the first quantity that is not a finite number of zero or more.

    Raises:
        OutOfDomain: with the name and the value.
    """
    for name, value in quantities.items():
        if not (math.isfinite(value) and value >= 0.0):
            raise OutOfDomain(name, value, "must be finite and not below zero")


def check_finite(**quantities: float) -> None:
    """Refuse, by name, the first quantity that is infinite or not a number.

    Raises:
        OutOfDomain: with the name and the value.
    """
    for name, value in quantities.items():
        if not math.isfinite(value):
            raise OutOfDomain(name, value, "must be finite")
