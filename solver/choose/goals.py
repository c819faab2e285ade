"""In what respects mixes differ: money now, hold, money over the years, each a goal of the search with its unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.assess.assessment import Assessment
from solver.choose.cutter import GRIPS_PER_N
from solver.choose.search import LEAST_PULL, Goal


@dataclass(frozen=True, slots=True)
class Axis:
    """One respect in which mixes differ. Its goal is made small, so what is wanted large is negative there.

    `unit` is `money` (minor units) or `N`; a shown value is the goal's divided by `scale` (negative where more is
    better). `prunable`: an option that replaces another (see `solver.choose.dominance`) is never worse here.
    `title` is the name written out, where the short one does not say enough.
    """

    name: str
    unit: Literal["money", "N"]
    goal: Goal
    scale: int = 1
    prunable: bool = True
    title: str = ""

    def value(self, plan: Assessment) -> float:
        """What a plan is worth here: minor units or newtons."""
        return self.goal.of(plan) / self.scale


COST = Axis("cost", "money", Goal(lambda master: master.cost_high, lambda mix: mix.cost.high))
HOLD = Axis("hold", "N", LEAST_PULL, scale=-GRIPS_PER_N, prunable=False, title="least pull")
YEARS = Axis(
    "years",
    "money",
    Goal(lambda master: master.years_high, lambda mix: mix.cost_years.high),
    prunable=False,
    title="cost over the years",
)
