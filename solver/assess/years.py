"""What becomes of a mix over the years: hold left after wear, renewals, regular visits, and what all that costs.

Wear is carried on geometrically (`solver.handbook.wear`) from the loss that the catalogue gives, month by month. The
low end of a hold takes the low retention, the high loss and the most insertions a day; the high end the opposite.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.case.rules import LevelPull
from solver.fit.candidate import Candidate
from solver.fit.upkeep import recall_cost, renewed_times
from solver.handbook.sourced import Interval
from solver.handbook.wear import DAYS_PER_YEAR, MONTHS_PER_YEAR, USUAL_INSERTIONS_PER_DAY, Wear

LOW, HIGH = 0, 1


@dataclass(frozen=True, slots=True)
class HeldAt:
    """What the attachments hold together at the end of a month where nothing was renewed, N."""

    month: int
    low_n: float
    high_n: float


@dataclass(frozen=True, slots=True)
class Due:
    """What is renewed at a site, how many times within the years (fewest and most), and the cost of all of it.

    The denture itself has no site: its name is empty.
    """

    site: str
    what: str
    times: tuple[int, int]
    cost: Cost


@dataclass(frozen=True, slots=True)
class Aftercare:
    """A mix over `years` years.

    `under_floor` is the month at whose end the hold has fallen under `floor_n` when nothing is renewed, at the
    soonest and at the latest, each None where it does not within the years. `renewed_n` is the least that is held
    (low end) where every part is renewed at its sooner date, and where at its later one, all of them due at once.
    `unknown` are sites of whose wear the catalogue says nothing: they count as keeping their hold.
    """

    years: int
    insertions_per_day: Interval
    assumed: bool
    months: tuple[HeldAt, ...]
    floor_n: float
    under_floor: tuple[int | None, int | None]
    renewed_n: tuple[float, float]
    unknown: tuple[str, ...]
    renewals: tuple[Due, ...]
    denture: tuple[Due, ...]
    visits: tuple[int, int]
    visits_cost: Cost
    cost: Cost

    @property
    def yearly(self) -> tuple[HeldAt, ...]:
        """The start and the end of every year."""
        return self.months[:: int(MONTHS_PER_YEAR)]

    @property
    def renewals_cost(self) -> Cost:
        """All renewals together."""
        return sum((due.cost for due in self.renewals), Cost())

    @property
    def denture_cost(self) -> Cost:
        """All that the denture itself takes."""
        return sum((due.cost for due in self.denture), Cost())


def aftercare(problem: Problem, mix: Sequence[Candidate]) -> Aftercare:
    """The years after a mix is fitted."""
    case, recall = problem.case, problem.catalogue.defaults.recall
    years, given = case.money.years, case.wanted.insertions_per_day
    per_day = USUAL_INSERTIONS_PER_DAY if given is None else Interval(given, given)
    months = tuple(_held_at(mix, month, per_day) for month in range(years * int(MONTHS_PER_YEAR) + 1))
    floor_n = max((rule.least_n for rule in problem.rules if isinstance(rule, LevelPull)), default=0.0)
    return Aftercare(
        years=years,
        insertions_per_day=per_day,
        assumed=given is None,
        months=months,
        floor_n=floor_n,
        under_floor=(_first_under(months, floor_n, LOW), _first_under(months, floor_n, HIGH)),
        renewed_n=(_renewed_n(mix, years, per_day, 0), _renewed_n(mix, years, per_day, 1)),
        unknown=tuple(c.site.id for c in mix if c.attachment.wear is None and c.high_n > 0),
        renewals=tuple(_due(problem, c) for c in mix if c.attachment.service is not None),
        denture=tuple(
            Due("", due.what, renewed_times(due, years), problem.denture_cost(due))
            for due in problem.catalogue.defaults.denture
        ),
        visits=renewed_times(recall, years) if recall else (0, 0),
        visits_cost=recall_cost(recall, years, problem.purse),
        cost=problem.years_cost_of(mix),
    )


def retention_after_n(candidate: Candidate, insertions: float, end: int) -> float:
    """Retention of a candidate after some insertions, at its low (0) or high (1) end, N."""
    wear, initial = candidate.attachment.wear, (candidate.low_n, candidate.high_n)[end]
    if wear is None:
        return initial
    return Wear(wear.loss[1 - end], wear.cycles).retention_after_n(initial, insertions)


def _held_at(mix: Sequence[Candidate], month: int, per_day: Interval) -> HeldAt:
    low, high = (sum(_held(candidate, month, per_day, end) for candidate in mix) for end in (LOW, HIGH))
    return HeldAt(month, low, high)


def _held(candidate: Candidate, months: float, per_day: Interval, end: int) -> float:
    a_day = per_day.high if end == LOW else per_day.low
    return retention_after_n(candidate, months * DAYS_PER_YEAR / MONTHS_PER_YEAR * a_day, end)


def _renewed_n(mix: Sequence[Candidate], years: int, per_day: Interval, date: int) -> float:
    """The least held within the years at the low end; a part loses or gains steadily, so new or oldest is least."""
    least = 0.0
    for candidate in mix:
        service, last = candidate.attachment.service, years * int(MONTHS_PER_YEAR)
        oldest = min(service.months[date], last) if service else last
        least += min(_held(candidate, months, per_day, LOW) for months in (0, oldest))
    return least


def _first_under(months: Sequence[HeldAt], floor_n: float, end: int) -> int | None:
    return next((m.month for m in months if (m.low_n, m.high_n)[end] < floor_n - 1e-6), None)


def _due(problem: Problem, candidate: Candidate) -> Due:
    service = candidate.attachment.service
    what = service.what if service else ""
    times = renewed_times(service, problem.case.money.years) if service else (0, 0)
    return Due(candidate.site.id, what, times, problem.upkeep_of(candidate))
