"""The answer to a case: plan, price, movement, open questions, what was given up, and the proof."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from catalogue.models import Catalogue
from solver.aftercare import Aftercare, aftercare
from solver.candidate import Candidate, Question
from solver.case import Case
from solver.choose import Choice, Chosen, Options, choose, choose_relaxed
from solver.freedom import FreedomUse, Level
from solver.given_up import GivenUp, given_up_by
from solver.insertion import Insertion, insertion
from solver.loads import Loads, loads_on
from solver.master import Outcome
from solver.mechanics import Mechanics
from solver.money import Cost
from solver.movement import Reach
from solver.problem import Least, Problem, problem_of
from solver.pulls import PullHold
from solver.remarks import Remark, remarks
from solver.verify import verify
from solver.verify_years import verify_years


class Status(Enum):
    """`fits` as measured; `fits-if` some answers come out well; `relaxed`: only with something given up."""

    FITS = "fits"
    FITS_IF = "fits-if"
    RELAXED = "relaxed"
    NONE = "none"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Plan:
    """One mix with everything that was worked out for it."""

    mix: tuple[Candidate, ...]
    cost: Cost
    low_n: float
    high_n: float
    reaches: tuple[Reach, ...]
    pulls: tuple[PullHold, ...]
    loads: Loads
    level: Level
    freedoms: tuple[FreedomUse, ...]
    questions: tuple[Question, ...]
    remarks: tuple[Remark, ...]
    given_up: tuple[GivenUp, ...]
    aftercare: Aftercare
    insertion: Insertion | None

    def paid(self, least: Least) -> Cost:
        """The cost that is made least."""
        return self.cost if least == "now" else self.aftercare.cost


@dataclass(frozen=True, slots=True)
class Answer:
    """Plans, best first, and how far it is proved that none is better."""

    problem: Problem
    status: Status
    plans: tuple[Plan, ...]
    proof: Choice
    least: Least = "now"

    @property
    def best(self) -> Plan | None:
        """The first plan."""
        return self.plans[0] if self.plans else None


def plan(case: Case, catalogue: Catalogue, how: Options = Options()) -> Answer:  # noqa: B008 - frozen
    """The cheapest mix that fits, moves and holds; where nothing does, the mix that gives up the least."""
    problem = problem_of(case, catalogue)
    return answer(problem, Mechanics(problem), how)


def answer(problem: Problem, mechanics: Mechanics, how: Options = Options()) -> Answer:  # noqa: B008 - frozen
    """As `plan`, on a case prepared already; what the mechanics have answered is not asked of them again."""
    until = time.monotonic() + how.time_limit_s
    choice = choose(problem, mechanics, how)
    if choice.outcome is Outcome.INFEASIBLE:
        choice = choose_relaxed(problem, mechanics, how.left(until))
    plans = tuple(verified_plan(problem, mechanics, chosen) for chosen in choice.mixes)
    return Answer(problem, _status(choice, plans), plans, choice, how.least)


def verified_plan(problem: Problem, mechanics: Mechanics, chosen: Chosen) -> Plan:
    """A mix that was found, worked out and derived a second time; raises `InternalFault` on a mismatch."""
    found = plan_of(problem, mechanics, chosen)
    verify(problem, found.mix, found.cost, found.reaches, tuple(g.rule for g in found.given_up), found.pulls)
    verify_years(problem, found.mix, found.aftercare.cost)
    return found


def plan_of(problem: Problem, mechanics: Mechanics, chosen: Chosen) -> Plan:
    """Everything worth saying of one mix."""
    mix = tuple(option.candidate for option in chosen.options)
    cost = problem.cost_of(mix)
    reaches, pulls = mechanics.reaches(chosen.options), mechanics.pulls(chosen.options)
    return Plan(
        mix=mix,
        cost=cost,
        low_n=sum(c.low_n for c in mix),
        high_n=sum(c.high_n for c in mix),
        reaches=reaches,
        pulls=pulls,
        loads=loads_on(problem, mix),
        level=mechanics.level(chosen.options),
        freedoms=mechanics.freedoms(chosen.options),
        questions=tuple(dict.fromkeys(q for c in mix for q in c.questions)),
        remarks=remarks(problem.case, problem.catalogue, mix, [fitted.site for fitted in problem.fit.sites]),
        given_up=given_up_by(chosen.given_up, mix, cost, reaches[0].reach, {p.name: p.hold_n for p in pulls}),
        aftercare=aftercare(problem, mix),
        insertion=insertion(problem.case, problem.layout.out, mix),
    )


def _status(choice: Choice, plans: Sequence[Plan]) -> Status:
    if choice.outcome is Outcome.UNDECIDED:
        return Status.UNDECIDED
    if not plans:
        return Status.NONE
    if plans[0].given_up:
        return Status.RELAXED
    return Status.FITS_IF if plans[0].questions else Status.FITS
