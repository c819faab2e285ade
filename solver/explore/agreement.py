"""Whether the second opinion bears out a plan: same cost and terms, same questions and parts, same yes or no."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from solver.assess.assessment import Status
from solver.audit.second_opinion.decide import Found
from solver.audit.second_opinion.mixes import Rank
from solver.audit.second_opinion.opinion import MOST_MIXES, Opinion, second_opinion
from solver.audit.second_opinion.world import World
from solver.choose.plan import Answer


class Accord(Enum):
    """`not-taken`: the case has too many mixes, or the plan itself was not decided in time."""

    AGREES = "agrees"
    DIFFERS = "differs"
    NOT_TAKEN = "not-taken"


@dataclass(frozen=True, slots=True)
class Side:
    """One of two best mixes: cost (minor units, high end), open questions, parts; and on which terms.

    `without` are the preferences that it does not keep, `weight` is what all weighs that is given up, the promise of
    a stopgap with it.
    """

    rank: Rank
    without: frozenset[str] = frozenset()
    weight: int = 0


@dataclass(frozen=True, slots=True)
class Agreement:
    """Our plan beside the second opinion; `given_up` names the rules that the plan gives up."""

    accord: Accord
    opinion: Opinion
    fits: bool
    given_up: tuple[str, ...]
    ours: Side | None
    theirs: Side | None


def agreement(found: Answer, *, most: int = MOST_MIXES) -> Agreement:
    """Take the second opinion on an answer; raises `NotInstalled` where its library is missing."""
    fits = found.status in (Status.FITS, Status.FITS_IF, Status.TOO_LITTLE_KNOWN)
    ours = _ours(found)
    given_up = tuple(entry.rule.code for entry in found.best.given_up) if found.best else ()
    world = World(found.problem.case, found.problem.catalogue)
    opinion = second_opinion(world, frozenset(given_up), least=found.least, most=most)
    theirs, same = _theirs(opinion.fits or opinion.relaxed), _theirs(opinion.fits or opinion.same)
    agrees = ours == theirs == same and (opinion.fits is not None) is fits
    accord = Accord.AGREES if agrees else Accord.DIFFERS
    if not opinion.taken or found.status is Status.UNDECIDED:
        accord = Accord.NOT_TAKEN
    return Agreement(accord, opinion, fits, given_up, ours, theirs)


def _theirs(found: Found | None) -> Side | None:
    return Side(found.rank, found.without, found.weight) if found else None


def _ours(found: Answer) -> Side | None:
    best = found.best
    if best is None:
        return None
    rank = best.paid(found.least).high, len(best.questions), sum(candidate.parts for candidate in best.mix)
    without = frozenset(preference.code for preference in best.unpreferred)
    return Side(rank, without, best.weight_below if best.weight else 0)
