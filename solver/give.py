"""What would have to give: every smallest set of rules to give up with the plan it opens, and why nothing fits.

Where a plan keeps every rule, the same search lists what plans that cost less would need.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from catalogue.models import Catalogue
from solver.because import Proof, prove
from solver.case import Case
from solver.choose import Options
from solver.conflict import Ending, Verdict, WaiverSet, cheapest_waiver_sets
from solver.front import HOLD
from solver.lightest import Lightest
from solver.master import Outcome
from solver.plan import Plan, verified_plan
from solver.problem import Least, Problem, problem_of
from solver.rules import HoldCeiling, HoldFloor, Rule, severity
from solver.switches import HOLD_HIGH, Offer, Switches

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
    """A smallest set of rules to give up: the best mix that it opens, with the amounts.

    `severity` is the sum of the weights. `nearest` gives up the least hold (or the least pull) where the best mix
    gives up more of it; None where there is no such choice.
    """

    rules: tuple[Rule, ...]
    severity: int
    best: Offer
    nearest: Offer | None


class Give:
    """A search that can be stopped at any moment: what it has found so far stands in its fields.

    `ways` come in order of severity, then of the cost that is made least. `best` is the plan that keeps every rule,
    `proof` why there is none. `ending` COMPLETE: there are no other ways; BOUNDED: none of at most `most` rules, but
    larger ones.
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
        self.least: Least = how.least
        self._how = how

    def steps(self) -> Iterator[str]:
        """Search; yields a word on what comes next, so that a reader can wait, show or stop."""
        yield "preparing"
        switches = Switches(self.problem, self._how)
        yield "a plan that keeps every rule"
        outcome, found = switches.best(switches.every)
        if found:
            self.footing, self.best = Footing.FITS, verified_plan(self.problem, switches.mechanics, found)
            yield from self._cheaper(switches, self.best.paid(self.least).high)
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
            if (way := _way(switches, optimiser, found)) is None:
                self.ending = Ending.UNDECIDED
                return
            insort(self.ways, way, key=lambda way: (way.severity, way.best.paid(self.least).high))
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


def _way(switches: Switches, optimiser: Lightest, found: WaiverSet[Rule]) -> Way | None:
    """The set with the mixes that it opens, None for want of time."""
    chosen = optimiser.opened(found.members)
    if chosen is None:
        return None
    best = switches.offer(chosen)
    return Way(found.members, found.weight, best, _nearest(switches, optimiser, found.members, best))


def _nearest(switches: Switches, optimiser: Lightest, rules: Sequence[Rule], best: Offer) -> Offer | None:
    """The mix that misses the hold, else the pull, by least; None where the best mix does not miss more."""
    for kind, goal in ((HoldFloor, HOLD.goal), (HoldCeiling, HOLD_HIGH)):
        if any(isinstance(rule, kind) for rule in rules):
            chosen = optimiser.opened(rules, goal)
            offer = switches.offer(chosen) if chosen else None
            gains = offer and goal.of(switches.problem, offer.mix) < goal.of(switches.problem, best.mix)
            return offer if gains else None
    return None
