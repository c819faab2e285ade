"""Whether the second opinion bears out a plan: same cost, same questions and parts, same yes or no."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.assessment import Status
from solver.plan import Answer
from solver.second_opinion.mixes import Rank
from solver.second_opinion.opinion import MOST_MIXES, Opinion, second_opinion
from solver.second_opinion.world import World
from solver.switches import soft_rules


class Accord(Enum):
    """`not-taken`: the case has too many mixes, or the plan itself was not decided in time."""

    AGREES = "agrees"
    DIFFERS = "differs"
    NOT_TAKEN = "not-taken"


@dataclass(frozen=True, slots=True)
class Agreement:
    """Our plan beside the second opinion; ranks are cost (minor units, high end), open questions, parts.

    Where a plan gives something up, `given_up` names the rules, and the ranks are those with the same rules given up.
    """

    accord: Accord
    opinion: Opinion
    fits: bool
    given_up: tuple[str, ...]
    ours: Rank | None
    theirs: Rank | None


def agreement(found: Answer, *, most: int = MOST_MIXES) -> Agreement:
    """Take the second opinion on an answer; raises `NotInstalled` where its library is missing."""
    fits, ours = found.status in (Status.FITS, Status.FITS_IF), _rank(found)
    given_up = _given_up(found)
    world = World(found.problem.case, found.problem.catalogue)
    opinion = second_opinion(world, frozenset(given_up), least=found.least, most=most)
    accord = Accord.AGREES if opinion.given_up == ours and (opinion.fits is not None) is fits else Accord.DIFFERS
    if not opinion.taken or found.status is Status.UNDECIDED:
        accord = Accord.NOT_TAKEN
    return Agreement(accord, opinion, fits, given_up, ours, opinion.given_up)


def _given_up(found: Answer) -> tuple[str, ...]:
    """The rules given up by the plan; where there is no plan at all, every rule that may be given up."""
    if found.best is not None:
        return tuple(entry.rule.code for entry in found.best.given_up)
    return tuple(rule.code for rule in soft_rules(found.problem))


def _rank(found: Answer) -> Rank | None:
    best = found.best
    if best is None:
        return None
    cost = best.cost if found.least == "now" else best.aftercare.cost
    return cost.high, len(best.questions), sum(candidate.parts for candidate in best.mix)
