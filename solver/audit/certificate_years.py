"""The cost over the years a second time: every renewal and visit laid on a calendar, priced by exact fractions."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import count, takewhile

from catalogue.blocks import Recall, Service
from solver.assess.problem import Problem
from solver.audit.certificate import price_again
from solver.case.money import Cost
from solver.errors import InternalFault
from solver.fit.candidate import Candidate


def verify_years(problem: Problem, mix: Sequence[Candidate], found: Cost) -> None:
    """Raise `InternalFault` where the cost over the years does not follow from the case and the catalogue."""
    fitted = problem.cost_of(mix)
    defaults = problem.catalogue.defaults
    totals = [fitted.low, fitted.high]
    for end in (0, 1):
        for due in (defaults.recall, *defaults.denture):
            totals[end] += _all_visits(problem, due, end)
        for candidate in mix:
            totals[end] += candidate.count * _all_visits(problem, candidate.attachment.service, end)
    if [found.low, found.high] != totals:
        raise InternalFault(f"cost over the years {found} does not add up to {totals}")


def _all_visits(problem: Problem, service: Service | Recall | None, end: int) -> int:
    if service is None:
        return 0
    last, interval = 12 * problem.case.money.years, Fraction(str(service.months[1 - end]))
    dates = takewhile(lambda date: date < last, (interval * visit for visit in count(1)))
    return sum(1 for _ in dates) * price_again(problem, service, end)
