"""What one part of an option holds back, N: at either end of its band when new, and when its renewal falls due."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from solver.aftercare import LOW, retention_after_n
from solver.case import Case
from solver.problem import Option
from solver.wear import DAYS_PER_YEAR, MONTHS_PER_YEAR, USUAL_INSERTIONS_PER_DAY

Retention: TypeAlias = Callable[[Option], float]
"""What each part of an option holds, N."""


def low_n(option: Option) -> float:
    """What can be counted on."""
    return option.candidate.attachment.retention_n.low


def high_n(option: Option) -> float:
    """What a hand must be ready for."""
    return option.candidate.attachment.retention_n.high


def worn_n(case: Case) -> Retention:
    """The least that can be counted on until a part is renewed at its sooner date, or for the years of the case.

    A part loses or gains steadily, so it holds least when new or when oldest.
    """
    given = case.wanted.insertions_per_day
    a_month = (USUAL_INSERTIONS_PER_DAY.high if given is None else given) * DAYS_PER_YEAR / MONTHS_PER_YEAR
    last = case.money.years * MONTHS_PER_YEAR

    def held_n(option: Option) -> float:
        candidate, service = option.candidate, option.candidate.attachment.service
        oldest = min(service.months[0], last) if service else last
        return min(candidate.low_n, retention_after_n(candidate, oldest * a_month, LOW)) / candidate.count

    return held_n
