"""Trade-offs: the mixes of which none is better in one respect without being worse in the other, all of them, proved.

The scheme is the epsilon constraint method on whole numbers (Haimes, Lasdon, Wismer, IEEE Trans. SMC 1971;1:296-297):
the least of the first goal, then of the second for that; then again with the second asked to be better by one, until
nothing is left. Each point is found by CP-SAT with the cuts of mechanics, and is proved undominated.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.schema import Case
from solver.choose.goals import COST, HOLD, YEARS, Axis
from solver.choose.master import Outcome
from solver.choose.plan import verified
from solver.choose.search import Goal, Options, choose_least

PAIRS: Mapping[str, tuple[Axis, Axis]] = {
    "cost,hold": (COST, HOLD),
    "cost,years": (COST, YEARS),
}
"""The trade-offs that can be asked for."""


@dataclass(frozen=True, slots=True)
class FrontPoint:
    """A plan on the front, and its values on the two axes."""

    plan: Assessment
    first: float
    second: float


@dataclass(frozen=True, slots=True)
class Front:
    """The front from the best of the first axis to the best of the second; empty where nothing keeps every rule.

    `complete`: it is proved that no point is missing. `knee` is the index of the knee, None where there is none.
    """

    problem: Problem
    axes: tuple[Axis, Axis]
    points: tuple[FrontPoint, ...]
    knee: int | None
    complete: bool


def front(
    case: Case,
    catalogue: Catalogue,
    axes: tuple[Axis, Axis] = (COST, HOLD),
    how: Options = Options(),  # noqa: B008 - frozen
) -> Front:
    """Every undominated pair of values with one plan each (of several the best); no rule is given up for it."""
    until = time.monotonic() + how.time_limit_s
    problem = problem_of(case, catalogue)
    mechanics = Mechanics(problem)
    goals, prune = [axis.goal for axis in axes], all(axis.prunable for axis in axes)
    points: list[FrontPoint] = []
    at_most: list[tuple[Goal, int]] = []
    while True:
        left = Options().left(until)
        choice = choose_least(problem, mechanics, left, goals, at_most, prune=prune)
        if not choice.mixes:
            complete = choice.outcome is Outcome.INFEASIBLE
            return Front(problem, axes, tuple(points), knee_of(points), complete)
        plan = verified(choice.mixes[0])
        points.append(FrontPoint(plan, axes[0].value(plan), axes[1].value(plan)))
        at_most = [(goals[1], goals[1].of(plan) - 1)]


def knee_of(points: Sequence[FrontPoint]) -> int | None:
    """The point farthest from the chord between the two ends of the front, on its better side.

    Both axes are first stretched to 0..1 between the ends. The chord is then a straight exchange rate from one end to
    the other; at the knee the front beats it by most. None where no point lies beyond the chord.
    """
    if len(points) < 3:
        return None
    x, y = _shares([p.first for p in points]), _shares([p.second for p in points])
    beyond = [(second - first) / sqrt(2) for first, second in zip(x, y, strict=True)]
    best = max(range(len(points)), key=lambda index: (round(beyond[index], 12), -index))
    return best if beyond[best] > 1e-9 else None


def _shares(values: Sequence[float]) -> list[float]:
    """From 0 at the first value to 1 at the last."""
    return [(value - values[0]) / (values[-1] - values[0]) for value in values]
