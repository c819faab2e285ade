"""The answer to a case: the plan that is recommended, its tier, and how far it is proved that none is better."""

from __future__ import annotations

import time
from dataclasses import dataclass

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment, Status
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem, problem_of
from solver.audit.certificate import verify
from solver.audit.certificate_years import verify_years
from solver.case.rule_set import TierName, of_usual_tier
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.search import Choice, Options, choose, choose_relaxed


@dataclass(frozen=True, slots=True)
class Answer:
    """Plans, best first, and how far it is proved that none is better."""

    problem: Problem
    status: Status
    plans: tuple[Assessment, ...]
    proof: Choice
    least: Least = "now"

    @property
    def best(self) -> Assessment | None:
        """The plan that is recommended."""
        return self.plans[0] if self.plans else None

    @property
    def tier(self) -> TierName | None:
        """The tier whose promise the plan keeps; None where it gives up more than the usual tier."""
        return tier_of(self.best) if self.best else None


def tier_of(mix: Assessment) -> TierName | None:
    """The tier whose promise a mix keeps beside every rule of its case."""
    if not mix.broken:
        return "usual"
    below = all(of_usual_tier(rule) for rule in mix.broken)
    return "stopgap" if below and all(rule.kept(mix) for rule in mix.problem.stopgap) else None


def plan(case: Case, catalogue: Catalogue, how: Options = Options()) -> Answer:  # noqa: B008 - frozen
    """Return the cheapest mix that keeps every rule; where none does, the mix that gives up the least."""
    problem = problem_of(case, catalogue)
    return answer(problem, Mechanics(problem), how)


def answer(problem: Problem, mechanics: Mechanics, how: Options = Options()) -> Answer:  # noqa: B008 - frozen
    """As `plan`, on a case prepared already; what the mechanics have answered is not asked of them again."""
    choice = best_choice(problem, mechanics, how)
    plans = tuple(verified(mix) for mix in choice.mixes)
    return Answer(problem, status_of(choice), plans, choice, how.least)


def best_choice(problem: Problem, mechanics: Mechanics, how: Options) -> Choice:
    """Return the best mixes that keep every rule; where none does, those that give up the least."""
    until = time.monotonic() + how.time_limit_s
    choice = choose(problem, mechanics, how)
    if choice.outcome is Outcome.INFEASIBLE:
        choice = choose_relaxed(problem, mechanics, how.left(until))
    return choice


def verified(mix: Assessment) -> Assessment:
    """Return a mix that was derived a second time; raises `InternalFault` on a mismatch."""
    verify(mix)
    verify_years(mix.problem, mix.mix, mix.cost_years)
    return mix


def status_of(choice: Choice) -> Status:
    """How a choice stands to its case."""
    if choice.outcome is Outcome.UNDECIDED:
        return Status.UNDECIDED
    return choice.best.status if choice.best else Status.NONE
