"""What becomes of a plan in use: hold after wear, what is renewed, how often, and for how much."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.models import Wear
from solver.candidate import Candidate
from solver.money import Cost
from solver.plan import Plan
from solver.problem import Problem

INSERTIONS_A_DAY = 3.0
"""Taken to tell insertions in years; studies take one to four a day."""


@dataclass(frozen=True, slots=True)
class Upkeep:
    """One site in use. `worn_n` is None where nothing is known of wear, `renewal` where nothing is renewed."""

    candidate: Candidate
    worn_n: tuple[float, float] | None
    renewal: Cost | None

    @property
    def wear(self) -> Wear | None:
        """What is known of the wear."""
        return self.candidate.attachment.wear

    @property
    def years(self) -> float:
        """How long the insertions of the wear figure take."""
        return self.wear.cycles / (INSERTIONS_A_DAY * 365.0) if self.wear else 0.0


def upkeep_of(problem: Problem, plan: Plan) -> list[Upkeep]:
    """Every site with parts in use."""
    return [_upkeep(problem, candidate) for candidate in plan.mix if candidate.parts]


def _upkeep(problem: Problem, candidate: Candidate) -> Upkeep:
    wear, service, purse = candidate.attachment.wear, candidate.attachment.service, problem.purse
    worn = (candidate.low_n * (1 - wear.loss[1]), candidate.high_n * (1 - wear.loss[0])) if wear else None
    if service is None:
        return Upkeep(candidate, worn, None)
    once = purse.price(service.price.low, service.price.high) + purse.minutes(service.work.bench, service.work.chair)
    return Upkeep(candidate, worn, Cost(candidate.count * once.low, candidate.count * once.high))
