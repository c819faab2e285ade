"""Of mixes that rank equal the one that balances: the same parts at other sites, evenly about the midline, far apart.

Balance about the midline first, then breadth: common practice, no source. What a mix costs, asks and gives up is none
the better or worse for it, so nothing that is proved of one mix is lost by taking its equal.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterator, Sequence

import numpy as np

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Preference, Rule
from solver.choose.ranking import Ranking
from solver.fit.candidate import Candidate
from solver.mechanics.option import Option

Picked = tuple[int, ...]
"""A mix as the indices of its options, in order."""


class Balance:
    """Moves parts of a mix to sites that are no worse, one at a time, while that brings it nearer to balance."""

    def __init__(
        self,
        problem: Problem,
        mechanics: Mechanics,
        options: Sequence[Option],
        ranking: Ranking,
        may_be_taken: Callable[[Assessment], bool] = lambda _: True,
    ) -> None:
        """What is asked beside the rules of the problem is for `may_be_taken` to say."""
        self._problem, self._mechanics, self._options, self._ranking = problem, mechanics, options, ranking
        self._may_be_taken = may_be_taken
        left, right = problem.layout.base.left, problem.layout.base.right
        self._middle, self._across = (left + right) / 2, (left - right) / (np.linalg.norm(left - right) or 1.0)

    def of(self, picked: Picked, given_up: frozenset[Rule], taken: Collection[Picked], until: float) -> Picked:
        """The mix to take for one that stands; never one of those `taken` already."""
        equals = self._equals(picked)
        first = assess(self._problem, self._mechanics, (self._options[i] for i in picked))
        may_break = given_up | frozenset(first.broken) if given_up else given_up
        without = frozenset(first.unpreferred)
        while time.monotonic() < until:
            here = self._lean(picked)
            nearer = sorted(
                (lean, moved) for moved in self._moved(picked, equals) if (lean := self._lean(moved)) < here
            )
            free = (moved for _, moved in nearer if moved not in taken)
            found = next(
                (moved for moved in free if self._stands(moved, may_break, without, first.weight_below)), None
            )
            if found is None:
                return picked
            picked = found
        return picked

    def _lean(self, picked: Picked) -> tuple[float, float]:
        """Moment of the hold about the midline, then how near to it the parts stand (less is better), N mm.

        The midline runs halfway between the ends of the saddles. Rounded, so that no last digit decides.
        """
        moments = [self._moment(self._options[i].candidate) for i in picked]
        return round(abs(sum(moments)), 3), round(-sum(abs(moment) for moment in moments), 3)

    def _moment(self, candidate: Candidate) -> float:
        """N mm, positive on the patient's left."""
        aside_mm = float(np.dot(candidate.site.at - self._middle, self._across))
        return aside_mm * (candidate.low_n + candidate.high_n) / 2

    def _equals(self, picked: Picked) -> dict[str, list[int]]:
        """Options that rank as one of the mix does and are the same parts and steps, by these."""
        wanted = {self._options[i].candidate.label for i in picked}
        weights = {self._weight(i) for i in picked}
        found: dict[str, list[int]] = {label: [] for label in wanted}
        for index, option in enumerate(self._options):
            if self._weight(index) in weights and option.candidate.label in wanted:
                found[option.candidate.label].append(index)
        return found

    def _moved(self, picked: Picked, equals: dict[str, list[int]]) -> Iterator[Picked]:
        """The mixes with one part at another site that is empty."""
        sites = {self._options[i].site for i in picked}
        for old in picked:
            for new in equals[self._options[old].candidate.label]:
                if self._options[new].site not in sites and self._is_equal(new, old):
                    yield tuple(sorted(new if i == old else i for i in picked))

    def _is_equal(self, one: int, other: int) -> bool:
        """The same weight and the same needs waived; what counts once is called for by both."""

        def besides(index: int) -> tuple[object, ...]:
            option = self._options[index]
            once = set(self._ranking.called_for(option.candidate))
            return self._weight(index), set(option.needs_waived), once

        return besides(one) == besides(other)

    def _weight(self, index: int) -> int:
        return self._ranking.options[index] // self._ranking.order

    def _stands(self, picked: Picked, given_up: frozenset[Rule], without: frozenset[Preference], weight: int) -> bool:
        """True where the mix keeps every rule and preference that the first one kept, and gives up no more."""
        mix = assess(self._problem, self._mechanics, (self._options[i] for i in picked))
        kept = given_up.issuperset(mix.broken) and without.issuperset(mix.unpreferred)
        return kept and mix.weight_below <= weight and self._may_be_taken(mix)
