"""Three answers to how much hold is enough, and what each next step of money buys.

The stopgap keeps every rule of the case and the least of hold, the usual plan keeps its promise, the firm one has the
best least pull that the patient can still take out. Each is the least in cost of its kind, proved.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rule_set import of_usual_tier
from solver.choose.cutter import GRIPS_PER_N, grip_of
from solver.choose.goals import COST
from solver.choose.plan import Answer, verified
from solver.choose.search import LEAST_PULL, Options, choose, choose_least

STEP_SHARE, STEP_N = 0.25, 0.5
"""A step is worth telling where the weakest pull gains a quarter, and half a newton at the least (chosen)."""

MOST_STEPS = 2
"""Steps told between the recommended plan and the firm one (our own choice)."""


@dataclass(frozen=True, slots=True)
class Step:
    """A dearer plan and what it brings: its cost beside that before it (minor units, high end), its weakest pull."""

    plan: Assessment
    more: int
    weakest_n: float
    weakest_before_n: float


@dataclass(frozen=True, slots=True)
class Tiers:
    """The plan of each tier, None where there is none or it is the one below; `steps` lead from the plan to `firm`.

    Not `complete`: the time ran out.
    """

    stopgap: Assessment | None
    usual: Assessment | None
    firm: Assessment | None
    steps: tuple[Step, ...]
    complete: bool


def tiers(found: Answer, how: Options = Options()) -> Tiers:  # noqa: B008 - frozen
    """Return what more and less hold would cost; no rule of the case is given up for it."""
    until = time.monotonic() + how.time_limit_s
    usual = found.best if found.tier == "usual" else None
    below = at_stopgap(found.problem)
    mechanics = Mechanics(below)
    cheapest = choose(below, mechanics, how.left(until))
    stopgap = verified(cheapest.best) if cheapest.best else None
    problem = found.problem if usual else below
    best = usual or stopgap
    if best is None:
        return Tiers(None, None, None, (), cheapest.outcome.value != "undecided")
    steps = tuple(_steps(problem, best, how, until))
    firm = steps[-1].plan if steps else None
    return Tiers(
        stopgap if stopgap and (usual is None or stopgap.cost.high < usual.cost.high) else None,
        usual,
        firm,
        steps,
        time.monotonic() < until,
    )


def at_stopgap(problem: Problem) -> Problem:
    """Return the problem with the promise of a stopgap in place of that of the usual tier."""
    kept = tuple(rule for rule in problem.rules if not of_usual_tier(rule))
    return replace(problem, rules=(*kept, *problem.stopgap), stopgap=())


def _steps(problem: Problem, best: Assessment, how: Options, until: float) -> Iterator[Step]:
    """From one plan to the next firmer one at least cost, the last of them the firmest there is."""
    mechanics, now = Mechanics(problem), best
    firmest = choose_least(problem, mechanics, how.left(until), [LEAST_PULL, COST.goal]).best
    if firmest is None or grip_of(firmest) <= grip_of(best):
        return
    for number in range(MOST_STEPS + 1):
        wanted = grip_of(now) + max(int(STEP_N * GRIPS_PER_N), int(STEP_SHARE * grip_of(now)))
        if number == MOST_STEPS or wanted >= grip_of(firmest):
            yield _step(now, firmest)
            return
        found = choose_least(problem, mechanics, how.left(until), [COST.goal], [(LEAST_PULL, -wanted)]).best
        if found is None or grip_of(found) >= grip_of(firmest):
            yield _step(now, firmest)
            return
        yield _step(now, found)
        now = found


def _step(before: Assessment, plan: Assessment) -> Step:
    return Step(verified(plan), plan.cost.high - before.cost.high, plan.weakest.hold_n, before.weakest.hold_n)
