"""Teeth by number and name, so that a number of another system is seen for what it is."""

from __future__ import annotations

from collections.abc import Iterable

from solver.case.schema import Case
from solver.handbook.teeth import Tooth


def named(numbers: Iterable[int]) -> str:
    """`43 lower right canine, 33 lower left canine`."""
    return ", ".join(f"{number} {Tooth.from_fdi(number).name}" for number in numbers)


def told_apart(case: Case) -> str:
    """The supports by name, where every number could be one of the Universal system too; else empty."""
    teeth = [support.tooth for support in case.supports.values() if support.tooth is not None]
    others = [other for tooth in teeth if (other := Tooth.from_universal(tooth)) and other.arch == case.arch]
    if not teeth or len(others) < len(teeth):
        return ""
    by_fdi = ", ".join(str(other.fdi) for other in others)
    return f"{named(teeth)} (FDI). If these are Universal numbers, write {by_fdi}."


def supports(case: Case) -> str:
    """Where the supports of a case stand, as far as teeth are named for it; empty where none is."""
    teeth = [support.tooth for support in case.supports.values() if support.tooth is not None]
    return f"Teeth by FDI number: {named(teeth)}." if teeth else ""
