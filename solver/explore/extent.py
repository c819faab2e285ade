"""How far around an answer the plans for it stay what they are: same cost, and nothing cheaper can be had."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from solver.assess.problem import Problem
from solver.case.measure import Measure
from solver.case.sites import Site
from solver.fit.bench import SiteFit
from solver.fit.needs import STRENGTH, TOLERANCE, Judgement, Verdict


@dataclass(frozen=True, slots=True)
class Extent:
    """Answers from `low` to `high`; an end that is not `included` is itself no longer meant."""

    low: float = -inf
    high: float = inf
    low_included: bool = True
    high_included: bool = True

    def cut(self, at: float, *, above: bool, included: bool = True) -> Extent:
        """Cut off there, where that is nearer than what cuts it off so far."""
        if above:
            nearer = at < self.high or (at == self.high and not included)
            return Extent(self.low, at, self.low_included, included) if nearer else self
        nearer = at > self.low or (at == self.low and not included)
        return Extent(at, self.high, included, self.high_included) if nearer else self

    def within(self, low: float, high: float) -> Extent:
        """Without an end that lies beyond what an answer can be."""
        no_low = self.low < low or (self.low == low and self.low_included)
        no_high = self.high > high or (self.high == high and self.high_included)
        return Extent(
            -inf if no_low else self.low, inf if no_high else self.high,
            no_low or self.low_included, no_high or self.high_included,
        )  # fmt: skip

    def last(self, low: float, high: float, inside: float, *, above: bool) -> float:
        """The last answer that is meant; `inside` lies between it and an end that is not."""
        if above:
            return min(self.high if self.high_included else self.high - inside, high)
        return max(self.low if self.low_included else self.low + inside, low)


STEP = 0.01
"""How much higher an answer is taken to see what follows it."""


class _Edge(NamedTuple):
    at: float
    above: bool
    included: bool


def extent(problem: Problem, beside: Sequence[Site], value: float, planned: Collection[str]) -> Extent:
    """Around the `value` that `problem` was answered with; `beside` are its sites with an answer a `STEP` higher.

    `planned` are the keys of all candidates of the plans. Going away from the value these must keep what they need,
    and no other candidate may gain anything. What a bar bears is not looked at.
    """
    found = Extent()
    for here, there in zip(problem.fit.sites, beside, strict=True):
        for at, above, included in _edges(here, _rises(here.site, there), value, planned):
            found = found.cut(at, above=above, included=included)
    return found


def _rises(here: Site, there: Site) -> dict[str, float]:
    """By how much each fact of a site rises with the answer; those that do not follow it are left out."""
    rises = {}
    for of, fact in here.facts.items():
        other = there.facts[of]
        if isinstance(fact, Measure) and isinstance(other, Measure) and fact.known and other.known:
            rises[of] = (other.low - fact.low) / STEP
    return {of: rise for of, rise in rises.items() if abs(rise) > TOLERANCE}


def _edges(found: SiteFit, rises: dict[str, float], value: float, planned: Collection[str]) -> Iterator[_Edge]:
    for candidate in found.every:
        for judgement in candidate.judgements:
            if judgement.of in rises and not any(q.of_a_step for q in candidate.asked_by(judgement)):
                yield from _of_need(judgement, rises[judgement.of], value, is_planned=candidate.key in planned)
    if found.bare is not None and "room_mm" in rises:
        yield from _of_need(found.bare, rises["room_mm"], value, is_planned=True)


def _of_need(judgement: Judgement, rise: float, value: float, *, is_planned: bool) -> Iterator[_Edge]:
    """Where a need of a plan is lost, and where one that does not hold, or is still open, is gained."""
    need, have = judgement.need, judgement.have
    if need is None or not isinstance(have, Measure):
        return
    for wanted, is_least in ((need.at_least, True), (need.at_most, False)):
        if wanted is None:
            continue
        sure, open_from = (have.low, have.high) if is_least else (have.high, have.low)
        holds_from, fails_to = (round(value + (wanted - each) / rise, 6) for each in (sure, open_from))
        helps_upwards = is_least is (rise > 0)
        for at in (holds_from, fails_to):
            beyond = at > value + TOLERANCE if helps_upwards else at < value - TOLERANCE
            if beyond:
                yield _Edge(at, helps_upwards, False)
            elif is_planned:
                yield _Edge(at, not helps_upwards, True)


def bears_alike(one: Problem, other: Problem, planned: Collection[str]) -> bool:
    """True where no bar that is cut bears the bite better in the other, and those of the plans bear it as well."""
    ours, theirs = _borne(one), _borne(other)
    both = ours.keys() & theirs.keys()
    return all(theirs[key] >= ours[key] for key in both) and all(theirs.get(key) == ours.get(key) for key in planned)


def _borne(problem: Problem) -> dict[str, Verdict]:
    return {
        candidate.key: judgement.verdict
        for found in problem.fit.sites
        for candidate in found.every
        for judgement in candidate.judgements
        if judgement.of == STRENGTH
    }
