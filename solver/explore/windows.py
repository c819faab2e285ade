"""For which answers to a question the needs that hang on it hold, and for which they fail."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf

from catalogue.blocks import Need
from catalogue.models import Catalogue, Defaults
from catalogue.quantities import QUANTITIES
from solver.case.bite_force import bite_force
from solver.case.measure import Measure
from solver.case.money import Purse
from solver.case.schema import BITE, Case
from solver.case.sites import Fact, Site, sites_of
from solver.explore.answered import Answer, answered, entry_at
from solver.fit.bar_strength import proof_stress_mpa
from solver.fit.bench import Bench
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import TOLERANCE, Judgement, Verdict

PRECISION = 1e-4
"""How closely the answer is found at which a bar begins to bear the bite, in the unit of the answer."""


@dataclass(frozen=True, slots=True)
class Window:
    """A need holds from `low` to `high` and fails outside `fails_below` and `fails_above`; between it stays open."""

    low: float = -inf
    high: float = inf
    fails_below: float = -inf
    fails_above: float = inf

    def holds(self, value: float) -> bool:
        """True for an answer with which the need holds for certain."""
        return self.low - TOLERANCE <= value <= self.high + TOLERANCE

    def fails(self, value: float) -> bool:
        """True for an answer with which it fails for certain."""
        return value < self.fails_below - TOLERANCE or value > self.fails_above + TOLERANCE

    @property
    def edges(self) -> tuple[float, ...]:
        """Answers at which something changes."""
        return tuple({edge for edge in (self.low, self.high, self.fails_below, self.fails_above) if abs(edge) < inf})


@dataclass(frozen=True, slots=True)
class Limits:
    """Between which numbers the answer lies: the error interval where something was `measured`, else sane limits."""

    low: float
    high: float
    measured: bool


class Trial:
    """One question of a case answered on trial; questions `alike` are answered with the same value."""

    def __init__(
        self, case: Case, catalogue: Catalogue, purse: Purse, question: Question, alike: Sequence[Question] = ()
    ) -> None:
        self._case, self._catalogue, self._purse = case, catalogue, purse
        self.question, self._alike = question, alike
        self._tried: dict[Fact, tuple[Bench, dict[str, Site]]] = {}

    def judged(self, candidate: Candidate, value: Fact) -> tuple[Judgement, ...]:
        """The needs of a candidate with this answer."""
        bench, sites = self._with(value)
        return bench.judged(candidate, sites[candidate.site.id])

    def _with(self, value: Fact) -> tuple[Bench, dict[str, Site]]:
        if value not in self._tried:
            case = self._case
            for question in (self.question, *self._alike):
                case = answered(case, Answer(question, value))
            sites = {site.id: site for site in sites_of(case, self._catalogue.defaults)}
            self._tried[value] = Bench(case, self._catalogue, self._purse), sites
        return self._tried[value]

    def hanging(self, candidate: Candidate) -> Iterator[Judgement]:
        """The needs that the question leaves open."""
        for judgement in candidate.judgements:
            if judgement.verdict is Verdict.ASK and self.question in candidate.asked_by(judgement):
                yield judgement

    def verdict(self, candidate: Candidate, judgement: Judgement, value: Fact) -> Verdict:
        """How one of its needs comes out; what is no longer judged holds."""
        found = self._again(candidate, judgement, value)
        return found.verdict if found else Verdict.HOLDS

    def still_open(self, candidate: Candidate, judgement: Judgement, value: Fact) -> int:
        """How many facts one of its needs hangs on then."""
        found = self._again(candidate, judgement, value)
        return len(found.hangs_on) if found and found.verdict is Verdict.ASK else 0

    def _again(self, candidate: Candidate, judgement: Judgement, value: Fact) -> Judgement | None:
        judged = self.judged(candidate, value)
        same = (j for j in judged if (j.of, j.step) == (judgement.of, judgement.step) and j.need == judgement.need)
        return next(same, None)

    def windows(self, candidate: Candidate) -> Iterator[Window]:
        """Of all needs that the question leaves open, for answers that are numbers."""
        for judgement in self.hanging(candidate):
            if judgement.need is None:
                yield self._borne(candidate, judgement)
                continue
            ends = (Measure(self.limits.low), Measure(self.limits.high))
            low, high = (found and found.have for found in (self._again(candidate, judgement, end) for end in ends))
            if isinstance(low, Measure) and isinstance(high, Measure):
                yield _window(judgement.need, low, high, self.limits)

    def _borne(self, candidate: Candidate, judgement: Judgement) -> Window:
        """Where a bar bears the bite: more metal, a stronger alloy and a weaker bite only help.

        Where no answer makes that certain by itself, one that leaves it open for other reasons alone will do.
        """

        def again(value: float) -> Judgement | None:
            return self._again(candidate, judgement, Measure(value))

        def holds(value: float) -> bool:
            found = again(value)
            return found is None or found.verdict is Verdict.HOLDS

        def will_do(value: float) -> bool:
            found = again(value)
            return found is None or (found.verdict < Verdict.FAILS and self.question.of not in found.hangs_on)

        def may_be(value: float) -> bool:
            found = again(value)
            return found is None or found.verdict is not Verdict.FAILS

        low, high = self.limits.low, self.limits.high
        rising = any(better(high) and not better(low) for better in (holds, will_do, may_be))
        good = holds if holds(high if rising else low) else will_do
        from_, until = (_turn(stands, low, high, rising=rising) for stands in (good, may_be))
        return Window(low=from_, fails_below=until) if rising else Window(high=from_, fails_above=until)

    @cached_property
    def limits(self) -> Limits:
        """Between which numbers the answer lies."""
        return limits_of(self._case, self._catalogue.defaults, self.question)


def limits_of(case: Case, defaults: Defaults, question: Question) -> Limits:
    """The error interval of what was measured; for a bite or an alloy the band on record; else the sane limits."""
    of, entry = question.of, entry_at(case, question.places[0])
    known = entry if isinstance(entry, Measure) and entry.known else None
    sites = sites_of(case, defaults)
    if known is None and of == "room_mm":  # it may follow from other figures
        rooms = (site.facts[of] for site in sites if site.places[of] == question.places)
        known = next((room for room in rooms if isinstance(room, Measure) and room.known), None)
    if known is not None:
        sane = _sane(of)
        return Limits(max(known.low, sane.low), min(known.high, sane.high), measured=True)
    if of == "force_n":
        band = bite_force(case).band_n
        return Limits(band.low, band.high, measured=False) if band.low < band.high else _sane(of)
    if of == "proof_mpa":
        band = proof_stress_mpa(next(site.facts for site in sites if site.places.get(of) == question.places))
        return Limits(band.low, band.high, measured=False) if band.low < band.high else _sane(of)
    return _sane(of)


def _sane(of: str) -> Limits:
    quantity = BITE if of == "force_n" else QUANTITIES["room_mm" if of == "top_mm" else of]
    return Limits(quantity.least, quantity.most, measured=False)


def _window(need: Need, at_low: Measure, at_high: Measure, limits: Limits) -> Window:
    """From what is there at both limits: the fact rises or falls with the answer, or does not follow it at all."""
    moved = ((at_high.value or 0.0) - (at_low.value or 0.0)) / (limits.high - limits.low)
    if abs(moved) < TOLERANCE:
        return Window()

    def answer(have: float, wanted: float) -> float:
        return round(limits.low + (wanted - have) / moved, 6)

    least, most = need.at_least, need.at_most
    if moved < 0:
        return Window(
            low=-inf if most is None else answer(at_low.high, most),
            high=inf if least is None else answer(at_low.low, least),
            fails_below=-inf if most is None else answer(at_low.low, most),
            fails_above=inf if least is None else answer(at_low.high, least),
        )
    return Window(
        low=-inf if least is None else answer(at_low.low, least),
        high=inf if most is None else answer(at_low.high, most),
        fails_below=-inf if least is None else answer(at_low.high, least),
        fails_above=inf if most is None else answer(at_low.low, most),
    )


def _turn(stands: Callable[[float], bool], low: float, high: float, *, rising: bool) -> float:
    """The last answer, coming from where it stands, with which it still does; infinite where it does nowhere."""
    good, bad = (high, low) if rising else (low, high)
    if not stands(good):
        return inf if rising else -inf
    if stands(bad):
        return -inf if rising else inf
    while abs(good - bad) > PRECISION:
        middle = (good + bad) / 2
        good, bad = (middle, bad) if stands(middle) else (good, middle)
    return good
