"""What if: the plan for other values of a case, beside the plan as it is, and where along a range it flips."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import NamedTuple

from catalogue.models import Catalogue
from catalogue.yaml_text import Document
from solver.assess.assessment import Status
from solver.case.overrides import BadSetting, Setting, Span, changed_case
from solver.case.schema import Case
from solver.choose.plan import Answer, plan
from solver.choose.search import Options
from solver.fit.pricing import NoExchange

TOLERANCE = Decimal("0.0001")
"""A flip is searched for until it is known this closely, in the unit of the value."""

GRAINS = (TOLERANCE, Decimal("0.01"), Decimal(1))
"""Steps that a value may be searched by: money has its cents, a tooth is a whole number."""


class Decision(NamedTuple):
    """What a plan comes down to: its status, what goes where, and what is given up."""

    status: Status
    mix: tuple[str, ...]
    given_up: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Varied:
    """The plan as it is and the plan with other values."""

    before: Answer
    after: Answer

    @property
    def flips(self) -> bool:
        """True where another decision is taken."""
        return decision_of(self.before) != decision_of(self.after)


@dataclass(frozen=True, slots=True)
class Point:
    """One value of a range and the plan for it."""

    value: Decimal
    answer: Answer


@dataclass(frozen=True, slots=True)
class Flip:
    """The decision is `before` at `low` and `after` at `high`; the two are one grain apart."""

    low: Decimal
    high: Decimal
    before: Decision
    after: Decision


@dataclass(frozen=True, slots=True)
class Sweep:
    """A range planned value by value, with the flips in between.

    `grain` is how closely a flip is known. A decision that comes and goes between two neighbouring values of the
    range, with the same one at both, is not seen: write a smaller step.
    """

    span: Span
    grain: Decimal
    points: tuple[Point, ...]
    flips: tuple[Flip, ...]

    @property
    def decisions(self) -> tuple[Decision, ...]:
        """Every decision along the range, each once, in order of first sight."""
        seen = [(point.value, decision_of(point.answer)) for point in self.points]
        for flip in self.flips:
            seen += [(flip.low, flip.before), (flip.high, flip.after)]
        return tuple(dict.fromkeys(decision for _, decision in sorted(seen, key=lambda pair: pair[0])))


def decision_of(answer: Answer) -> Decision:
    """The decision that an answer stands for."""
    best = answer.best
    if best is None:
        return Decision(answer.status, (), ())
    given_up = tuple(entry.rule.code for entry in best.given_up)
    return Decision(answer.status, tuple(candidate.key for candidate in best.mix), given_up)


def vary(
    document: Document,
    settings: Sequence[Setting],
    catalogue: Catalogue,
    how: Options = Options(),  # noqa: B008 - frozen
) -> Varied:
    """Plan a case file as it is and with these values; raises `BadSetting`, and `InputError` for the file itself."""
    before = plan(changed_case(document, ()), catalogue, how)
    return Varied(before, _planned(document, settings, catalogue, how))


def sweep(
    document: Document,
    settings: Sequence[Setting],
    span: Span,
    catalogue: Catalogue,
    how: Options = Options(),  # noqa: B008 - frozen
) -> Sweep:
    """Plan every value of a range (with `settings` besides) and bisect to its flips; raises `BadSetting`."""
    for value in (span.values[0], span.values[-1]):
        changed_case(document, [*settings, span.at(value)])

    @cache
    def answer(value: Decimal) -> Answer:
        return _planned(document, [*settings, span.at(value)], catalogue, how)

    def decide(value: Decimal) -> Decision:
        return decision_of(answer(value))

    grain = _grain(document, settings, span)
    points = tuple(Point(value, answer(value)) for value in span.values)
    pairs = zip(span.values, span.values[1:], strict=False)
    flips = tuple(flip for low, high in pairs for flip in flips_between(low, high, decide, grain))
    return Sweep(span, grain, points, flips)


def flips_between(
    low: Decimal, high: Decimal, decide: Callable[[Decimal], Decision], grain: Decimal
) -> Iterator[Flip]:
    """The flips between two values, by halving wherever the ends decide differently."""
    before, after = decide(low), decide(high)
    if before == after:
        return
    middle = low + ((high - low) / 2 / grain).to_integral_value() * grain
    if not low < middle < high:
        yield Flip(low, high, before, after)
        return
    yield from flips_between(low, middle, decide, grain)
    yield from flips_between(middle, high, decide, grain)


def _grain(document: Document, settings: Sequence[Setting], span: Span) -> Decimal:
    """The finest step that the case file takes for this value."""
    for grain in GRAINS[:-1]:
        try:
            changed_case(document, [*settings, span.at(span.values[0] + grain)])
        except BadSetting:
            continue
        return grain
    return GRAINS[-1]


def _planned(document: Document, settings: Sequence[Setting], catalogue: Catalogue, how: Options) -> Answer:
    case: Case = changed_case(document, settings)
    try:
        return plan(case, catalogue, how)
    except NoExchange as error:
        finding = error.finding()
        raise BadSetting("' and '".join(s.text for s in settings), finding.problem, finding.advice) from None
