"""Teeth by number and name, so that a number of another system is seen for what it is."""

from __future__ import annotations

from collections.abc import Iterable

from solver.case.schema import Case
from solver.handbook.teeth import Tooth


def named(numbers: Iterable[int]) -> str:
    """`43 lower right canine, 33 lower left canine`."""
    return ", ".join(f"{number} {Tooth.from_fdi(number).name}" for number in numbers)


def supports(case: Case) -> str:
    """Where the supports of a case stand, as far as teeth are named for it; empty where none is."""
    teeth = [support.tooth for support in case.supports.values() if support.tooth is not None]
    return f"Teeth by FDI number: {named(teeth)}." if teeth else ""
