"""Whether a plan stands when the case around it changes: no mix is better than it, on the terms it was chosen on."""

from __future__ import annotations

import time
from fractions import Fraction
from functools import cached_property
from typing import TypeAlias

from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.choose.master import Outcome
from solver.choose.plan import Answer, best_choice, status_of
from solver.choose.search import Options
from solver.choose.terms import terms_weight
from solver.mechanics.option import Option

Rank: TypeAlias = tuple[int, Fraction, int, int]
"""Weight of what is given up, cost on its terms (see `terms_weight`), open questions, parts: the least is best."""


class Undecided(Exception):
    """The time ran out."""


class Incumbent:
    """A plan that is to stand, and the searches for a better one."""

    def __init__(self, found: Answer, until: float) -> None:
        self.problem, self.status, self.least, self.until = found.problem, found.status, found.least, until
        self.mechanics = Mechanics(found.problem)
        self.keys = found.best.keys if found.best else None
        self.unpreferred = found.best.unpreferred if found.best else ()
        self.solved = 0

    @property
    def how(self) -> Options:
        """How to search in the time that is left."""
        return Options(time_limit_s=self.until - time.monotonic(), least=self.least)

    def instead(self, changed: Problem) -> tuple[Status, Assessment | None] | None:
        """What is chosen then; None where the plan is still there, on the same terms, and nothing is better."""
        status, best = self._best(changed)
        if status is not self.status:
            return status, best
        if self.keys is None or best is None:
            return None
        return None if self.rank_in(changed) == self.rank_of(best) else (status, best)

    def _best(self, problem: Problem) -> tuple[Status, Assessment | None]:
        mechanics, how = self.mechanics.beside(problem), self.how
        self.solved += 1
        choice = best_choice(problem, mechanics, how)
        if choice.outcome is Outcome.UNDECIDED:
            raise Undecided
        return status_of(choice), choice.best

    @cached_property
    def rank(self) -> Rank | None:
        """Rank of the plan as things are; None where nothing fits."""
        return self.rank_in(self.problem)

    def rank_in(self, problem: Problem) -> Rank | None:
        """Rank of the plan among the options of a problem; None where it is not there or breaks what none may."""
        options = self._options(problem)
        if options is None:
            return None
        mix = assess(problem, self.mechanics.beside(problem), options)
        return None if mix.against else self.rank_of(mix)

    def rank_of(self, mix: Assessment) -> Rank:
        """How good a mix is."""
        given_up = mix.weight_below if mix.given_up else 0
        return given_up, terms_weight(mix, self.least), len(mix.questions), sum(c.parts for c in mix.mix)

    def _options(self, problem: Problem) -> tuple[Option, ...] | None:
        usable = {candidate.key: candidate for candidate in problem.fit.usable}
        if self.keys is None or not usable.keys() >= set(self.keys):
            return None
        return tuple(problem.option(usable[key]) for key in self.keys)
