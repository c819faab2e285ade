"""What would have to give: every smallest set of rules to give up with the plan it opens, and why nothing fits.

Where a plan keeps every rule, the same search lists what plans that cost less would need.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from catalogue.models import Catalogue
from solver.because import Proof, prove
from solver.case import Case
from solver.choose import Options
from solver.conflict import Ending, Verdict, cheapest_waiver_sets
from solver.front import HOLD
from solver.lightest import Lightest
from solver.master import Outcome
from solver.plan import Plan
from solver.problem import Problem, problem_of
from solver.rules import HoldCeiling, HoldFloor, Rule, severity
from solver.switches import HOLD_HIGH, Switches

MOST_RULES = 3
"""Rules given up together, unless said: more than three are hard to weigh against each other."""

class Footing(Enum):
    """Where a case stands; the value is its name in answers for machines.

    FIXED: physics alone is against every mix. OPEN: not known, for want of time.
    """

    FITS = "fits"
    GIVES = "relaxed"
    FIXED = "none"
    OPEN = "undecided"


@dataclass(frozen=True, slots=True)
class Way:
    """A smallest set of rules to give up: the best plan that it opens, with the amounts.

    `severity` is the sum of the weights. `nearest` gives up the least hold (or the least pull) where the best plan
    gives up more of it; None where there is no such choice.
    """

    rules: tuple[Rule, ...]
    severity: int
    plan: Plan
    nearest: Plan | None


class Give:
    """A search that can be stopped at any moment: what it has found so far stands in its fields.

    `ways` come in order of severity, then cost. `best` is the plan that keeps every rule, `proof` why there is none.
    `ending` COMPLETE: there are no other ways; BOUNDED: none of at most `most` rules, but larger ones.
    """

    def __init__(
        self,
        case: Case,
        catalogue: Catalogue,
        how: Options = Options(),  # noqa: B008 - frozen
        most: int = MOST_RULES,
    ) -> None:
        self.problem: Problem = problem_of(case, catalogue)
        self.most = most
        self.footing = Footing.OPEN
        self.best: Plan | None = None
        self.ways: list[Way] = []
        self.proof: Proof | None = None
        self.ending = Ending.STOPPED
        self._how = how

    def steps(self) -> Iterator[str]:
        """Search; yields a word on what comes next, so that a reader can wait, show or stop."""
        yield "preparing"
        switches = Switches(self.problem, self._how)
        yield "a plan that keeps every rule"
        outcome, found = switches.best(switches.every)
        if found:
            self.footing, self.best = Footing.FITS, switches.plan(found)
            yield from self._cheaper(switches, self.best.cost.high)
        elif outcome is Outcome.INFEASIBLE:
            yield from self._explain(switches)
        else:
            self.ending = Ending.UNDECIDED

    def _explain(self, switches: Switches) -> Iterator[str]:
        yield "the fixed facts alone"
        fixed = switches.feasible(frozenset(switches.hard))
        if fixed is Verdict.UNDECIDED:
            self.ending = Ending.UNDECIDED
            return
        if fixed is Verdict.NO:
            self.footing, self.ending = Footing.FIXED, Ending.COMPLETE
        else:
            self.footing = Footing.GIVES
            optimiser = Lightest(switches, self._weights(switches))
            yield from self._list(switches, optimiser, self.most)
            self._look_further(optimiser)
        yield "the smallest clash"
        self.proof = prove(switches, [way.rules for way in self.ways])

    def _cheaper(self, switches: Switches, below: int) -> Iterator[str]:
        """Plans that cost less and give up as few rules as such plans can."""
        optimiser = Lightest(switches, self._weights(switches), below)
        for most in range(1, self.most + 1):
            yield from self._list(switches, optimiser, most)
            if self.ways or self.ending is not Ending.COMPLETE:
                return
        self._look_further(optimiser)

    def _list(self, switches: Switches, optimiser: Lightest, most: int) -> Iterator[str]:
        optimiser.restart(most)
        weights = self._weights(switches)
        listing = cheapest_waiver_sets(switches.soft, optimiser, weights=weights)
        self.ending = Ending.STOPPED
        yield "what to give up"
        for found in listing:
            chosen = optimiser.mixes[frozenset(found.members)]
            plan = switches.plan(chosen)
            self.ways.append(Way(found.members, found.weight, plan, None))
            yield "the nearest plan"
            self.ways[-1] = replace(self.ways[-1], nearest=_nearest(switches, optimiser, self.ways[-1]))
            yield "what else to give up"
        self.ending = listing.ending

    def _look_further(self, optimiser: Lightest) -> None:
        """A list that is complete within its bound may leave out larger sets."""
        if self.ending is Ending.COMPLETE:
            left = optimiser.more([frozenset(way.rules) for way in self.ways])
            self.ending = _ENDINGS[left]

    def _weights(self, switches: Switches) -> dict[Rule, int]:
        return {rule: severity(rule, self.problem.case) for rule in switches.soft}


_ENDINGS = {
    Outcome.OPTIMAL: Ending.BOUNDED,
    Outcome.INFEASIBLE: Ending.COMPLETE,
    Outcome.FEASIBLE: Ending.UNDECIDED,
    Outcome.UNDECIDED: Ending.UNDECIDED,
}


def _nearest(switches: Switches, optimiser: Lightest, way: Way) -> Plan | None:
    """The plan of a way that misses the hold, else the pull, by least; None where the best plan does not miss more."""
    for kind, goal in ((HoldFloor, HOLD.goal), (HoldCeiling, HOLD_HIGH)):
        if any(isinstance(rule, kind) for rule in way.rules):
            chosen = optimiser.nearest(way.rules, goal)
            plan = switches.plan(chosen) if chosen else None
            gains = plan and goal.of(switches.problem, plan.mix) < goal.of(switches.problem, way.plan.mix)
            return plan if gains else None
    return None
