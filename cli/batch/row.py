"""One case of a batch as one record: nothing in it depends on the machine, the engine or the time of day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple, TypeAlias

from cli.exit import BAD_INPUT, DOES_NOT_FIT, FAULT, FITS, UNDECIDED
from solver.assess.assessment import GivenUp
from solver.assess.rejections import RuledOut
from solver.case.rules import Covered, NeedHolds
from solver.choose.plan import Answer
from solver.fit.candidate import Candidate

Outcome: TypeAlias = Literal[
    "fits", "fits-if", "too-little-known", "relaxed", "none", "undecided", "bad-file", "fault"
]

EXIT: dict[Outcome, int] = {
    "fits": FITS,
    "fits-if": FITS,
    "too-little-known": DOES_NOT_FIT,
    "relaxed": DOES_NOT_FIT,
    "none": DOES_NOT_FIT,
    "undecided": UNDECIDED,
    "bad-file": BAD_INPUT,
    "fault": FAULT,
}
"""The exit code that `regrip plan` gives for the same case; the worst, in this order, is that of the batch."""


class Stamp(NamedTuple):
    """What a row was made from, beside the case file: digest of the catalogue, version of regrip, what was asked."""

    catalogue: str
    version: str
    asked: str


@dataclass(frozen=True, slots=True)
class Fitted:
    """An attachment of the plan, with the reworks other than its own steps."""

    site: str
    attachment: str
    count: int
    reworks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Closed:
    """At how many sites an attachment is ruled out, for one reason among others.

    `reason` is the quantity of a need, or the code of a rule (`allowed:weld`, `moves:whole`, `unsplint`).
    """

    attachment: str
    reason: str
    sites: int


@dataclass(frozen=True, slots=True)
class Conceded:
    """A rule given up: its code, the site where it is of one, and the amount (minor units for `money`)."""

    rule: str
    site: str | None
    amount: float
    unit: str | None


@dataclass(frozen=True, slots=True)
class Asked:
    """What to find out before work starts; `at` are the entries of the case that the answer fills in."""

    at: str
    of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Everything kept of one case. Money in minor units, `reach` the least over the demands, hold in N.

    Without a plan the figures are None and the lists empty. `digest` is None where the file could not be read.
    """

    file: str
    digest: str | None
    catalogue: str
    version: str
    asked: str
    outcome: Outcome
    exit: int
    case: str | None = None
    mix: tuple[Fitted, ...] = ()
    cost_low: int | None = None
    cost_high: int | None = None
    currency: str | None = None
    digits: int | None = None
    reach: float | None = None
    hold_low_n: float | None = None
    hold_high_n: float | None = None
    ruled_out: tuple[Closed, ...] = ()
    given_up: tuple[Conceded, ...] = ()
    questions: tuple[Asked, ...] = ()
    errors: tuple[str, ...] = ()


def row_of(file: str, digest: str, stamp: Stamp, found: Answer, out: Sequence[RuledOut]) -> Row:
    """The record of a case that was planned, as far as a plan was found."""
    best = found.best
    outcome: Outcome = found.status.value
    blank = Row(
        file=file,
        digest=digest,
        **stamp._asdict(),
        outcome=outcome,
        exit=EXIT[outcome],
        case=found.problem.case.case,
        currency=found.problem.case.money.currency,
        digits=found.problem.purse.digits,
        ruled_out=_closed(out),
    )
    if best is None:
        return blank
    return replace(
        blank,
        mix=tuple(_fitted(candidate) for candidate in best.mix),
        cost_low=best.cost.low,
        cost_high=best.cost.high,
        reach=round(min(reach.reach for reach in best.reaches), 6),
        hold_low_n=round(best.low_n, 3),
        hold_high_n=round(best.high_n, 3),
        given_up=tuple(conceded(entry) for entry in best.given_up),
        questions=tuple(Asked(str(question), question.of) for question in best.questions),
    )


def failed(file: str, digest: str | None, stamp: Stamp, outcome: Outcome, errors: Sequence[str]) -> Row:
    """The record of a case that could not be planned."""
    return Row(file=file, digest=digest, **stamp._asdict(), outcome=outcome, exit=EXIT[outcome], errors=tuple(errors))


def _fitted(candidate: Candidate) -> Fitted:
    reworks = tuple(rework.id for rework in candidate.extra_reworks)
    return Fitted(candidate.site.id, candidate.attachment.id, candidate.count, reworks)


def _closed(out: Sequence[RuledOut]) -> tuple[Closed, ...]:
    counts = Counter((entry.candidate.attachment.id, reason) for entry in out for reason in set(_reasons(entry)))
    return tuple(Closed(*about, sites) for about, sites in sorted(counts.items()))


def _reasons(entry: RuledOut) -> Iterator[str]:
    yield from (judgement.of for judgement in entry.judgements)
    yield from (rule.code for rule in entry.rules)
    if entry.binds is not None:
        yield entry.binds[0].code


def conceded(entry: GivenUp) -> Conceded:
    """A rule given up, its code without the site, so that it can be counted."""
    amount, unit = round(entry.amount, 6), entry.unit or None
    match entry.rule:
        case NeedHolds(site=site, of=of):
            return Conceded(f"need:{of}", site, amount, unit)
        case Covered(site=site):
            return Conceded("cover", site, amount, unit)
        case rule:
            return Conceded(rule.code, None, amount, unit)
