"""Three answers to how much hold is enough, and what each next step of money buys.

The stopgap keeps every rule of the case and the least of hold, the usual plan keeps its promise, the firm one has the
best least pull that the patient can still take out. A firmer plan goes without no preference that the one below it
keeps: nobody cuts a bar or fits two sides unlike for more hold alone. Each is the least in cost of its kind, proved.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rule_set import of_usual_tier
from solver.choose.cutter import GRIPS_PER_N, grip_of, grips
from solver.choose.master import Master
from solver.choose.plan import Answer, verified
from solver.choose.search import LEAST_PULL, Options, Search, choose

STEP_SHARE, STEP_N = 0.25, 0.5
"""A step is worth telling where the weakest pull gains a quarter, and half a newton at the least (chosen)."""

MOST_STEPS = 2
"""Steps told between the recommended plan and the firm one (our own choice)."""


@dataclass(frozen=True, slots=True)
class Step:
    """A firmer plan and what it brings: what it costs beside the one before it, and its weakest pull.

    `more` in minor units, high end: now, or over the years where that cost is made least. Never below zero.
    """

    plan: Assessment
    more: int
    weakest_n: float
    weakest_before_n: float

    @property
    def worth_telling(self) -> bool:
        """True where the weakest pull gains enough; the firmest plan may gain less."""
        return grip_of(self.plan) >= next_grip(grips(self.weakest_before_n))


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
    mechanics = found.best.mechanics.beside(below) if found.best else Mechanics(below)
    cheapest = choose(below, mechanics, how.left(until))
    stopgap = verified(cheapest.best) if cheapest.best else None
    best = usual or stopgap
    if best is None:
        return Tiers(None, None, None, (), cheapest.outcome.value != "undecided")
    steps = tuple(_steps(best, how, until))
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


def _steps(best: Assessment, how: Options, until: float) -> Iterator[Step]:
    """From one plan to the next firmer one at least cost, the last of them the firmest there is."""
    search = _among_its_like(best, how.left(until))
    firmest = search.made_least(LEAST_PULL)
    if firmest is None or grip_of(firmest) <= grip_of(best):
        return
    now = best
    for number in range(MOST_STEPS + 1):
        wanted = grip_of(firmest) if number == MOST_STEPS else min(next_grip(grip_of(now)), grip_of(firmest))
        search.limit(LEAST_PULL, -wanted)
        plan = search.cheapest().best
        if plan is None:
            return
        yield _step(now, plan, how.least)
        if grip_of(plan) == grip_of(firmest):
            return
        now = plan


def next_grip(grip: int) -> int:
    """Return the least pull from which a step is worth telling, hundredths of a newton as `grip`."""
    return grip + max(int(STEP_N * GRIPS_PER_N), int(STEP_SHARE * grip))


def _among_its_like(best: Assessment, how: Options) -> Search:
    """A search among the mixes that keep every rule and whatever is preferred of this one."""
    problem = best.problem
    options = [option for option in problem.options if not option.needs_waived]
    search = Search(problem, best.mechanics, Master(problem, options, best.mechanics), how)
    search.master.prefer([kept for kept in problem.preferences if kept not in best.unpreferred])
    return search


def _step(before: Assessment, plan: Assessment, least: Least) -> Step:
    more = plan.paid(least).high - before.paid(least).high
    return Step(verified(plan), more, plan.weakest.hold_n, before.weakest.hold_n)
