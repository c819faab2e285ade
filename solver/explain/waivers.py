"""What would have to give: every smallest set of rules to give up with the plan it opens, and why nothing fits.

Where a plan keeps every rule, the same search lists what plans that cost less would need.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment
from solver.assess.problem import Least, Problem, problem_of
from solver.case.rule_set import severity
from solver.case.rules import Rule
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.plan import verified
from solver.choose.search import Options, choose, choose_relaxed
from solver.explain.algorithms import Ending, Verdict, WaiverSet, cheapest_waiver_sets
from solver.explain.proof import Proof, prove
from solver.explain.rule_switches import Switches
from solver.explain.waiver_optimiser import Lightest

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
    """A smallest set of rules to give up, and the best mix that it opens, which overshoots their limits by least.

    `severity` is the sum of the severities of its rules, `best.weight` counts the amounts too.
    """

    rules: tuple[Rule, ...]
    severity: int
    best: Assessment


class Give:
    """A search that can be stopped at any moment: what it has found so far stands in its fields.

    `ways` come in order of what they weigh, amounts counted, then of the cost that is made least. `best` is the plan
    where it keeps every rule, and ways are then on its terms; `proof` is why there is none. `ending` COMPLETE: there
    are no other ways; BOUNDED: none of at most `most` rules, but larger ones.
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
        self.best: Assessment | None = None
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
        choice = choose(self.problem, switches.mechanics, replace(self._how, plans=1))
        if choice.best:
            self.footing, self.best = Footing.FITS, verified(choice.best)
            yield from self._cheaper(switches, self.best)
        elif choice.outcome is Outcome.INFEASIBLE:
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

    def _cheaper(self, switches: Switches, best: Assessment) -> Iterator[str]:
        """Plans on the same terms that cost less and give up as few rules as such plans can."""
        switches.master.prefer([rule for rule in self.problem.preferences if rule not in best.unpreferred])
        optimiser = Lightest(switches, self._weights(switches), best.paid(self.least).high)
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
            if (way := self._way(switches, optimiser, found)) is None:
                self.ending = Ending.UNDECIDED
                return
            insort(self.ways, way, key=lambda way: (way.best.weight, way.best.paid(self.least).high))
            yield "what else to give up"
        self.ending = listing.ending

    def _way(self, switches: Switches, optimiser: Lightest, found: WaiverSet[Rule]) -> Way | None:
        """The set with the best mix that it opens, None for want of time."""
        if self.best:  # a plan that costs less than one that keeps every rule
            best = optimiser.opened(found.members)
        else:
            best = choose_relaxed(self.problem, switches.mechanics, self._how, only=found.members).best
        return Way(found.members, found.weight, verified(best)) if best else None

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
