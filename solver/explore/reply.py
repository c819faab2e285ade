"""What one answer leads to: the case planned anew with it, and for which other answers the same holds."""

from __future__ import annotations

from dataclasses import dataclass

from solver.assess.assessment import Assessment
from solver.case.measure import Measure
from solver.case.sites import Fact, sites_of
from solver.choose.plan import verified
from solver.explore.answered import Answer, answered
from solver.explore.extent import STEP, Extent, bears_alike, extent
from solver.explore.windows import limits_of
from solver.explore.worlds import Worlds

_OF_STRENGTH = frozenset(("width_mm", "height_mm", "undercut_mm", "length_mm", "force_n", "proof_mpa"))
_INSIDE = 1e-4
"""How far inside an end that is not meant itself the strength of a bar is looked at."""


@dataclass(frozen=True, slots=True)
class Reply:
    """What an answer leads to, all else being as it is.

    `plan` is the cheapest then, which may hang on other answers, `certain` the cheapest that hangs on nothing; None
    where there is none. `extent`: for all these numbers the same holds and costs as much; None for a word.
    """

    value: Fact
    plan: Assessment | None
    certain: Assessment | None
    extent: Extent | None


def reply(worlds: Worlds, answer: Answer) -> Reply:
    """Plan a case with an answer; raises `Undecided`."""
    answers = frozenset({answer})
    hoped, sure = worlds.cheapest(answers), worlds.certain(answers)
    keys = {option.candidate.key for chosen in (hoped, sure) if chosen for option in chosen.options}
    plan, certain = (verified(chosen) if chosen else None for chosen in (hoped, sure))
    return Reply(answer.value, plan, plan if sure is hoped else certain, _extent(worlds, answer, keys))


def _extent(worlds: Worlds, answer: Answer, planned: set[str]) -> Extent | None:
    question, value = answer
    if not isinstance(value, Measure) or value.value is None:
        return None
    defaults = worlds.catalogue.defaults
    higher = answered(worlds.case, Answer(question, Measure(value.value + STEP)))
    problem = worlds.problem(frozenset({answer}))
    limits = limits_of(worlds.case, defaults, question)
    found = extent(problem, sites_of(higher, defaults), value.value, planned).within(limits.low, limits.high)
    if question.of not in _OF_STRENGTH:
        return found
    for above in (False, True):
        end = found.last(limits.low, limits.high, _INSIDE, above=above)
        there = worlds.problem(frozenset({Answer(question, Measure(end))}))
        if not bears_alike(problem, there, planned):
            found = found.cut(value.value, above=above)
    return found
