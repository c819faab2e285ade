"""What a question may be answered with: a value that serves a plan well, values that go against it, and the odds.

The good answer holds all needs of the plan that hang on it and as many needs of other candidates as it can. A bad one
fails the needs of the plan, and as narrowly as it can: it is the answer nearest to the good one on its side, so that
whatever else can still be had is not written off. Within an error interval both lie inside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from math import ceil
from typing import NamedTuple

from catalogue.quantities import QUANTITIES
from solver.case.measure import Measure
from solver.case.sites import Fact
from solver.explore.windows import Limits, Trial, Window
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.handbook.alloys import IN_USE, proof_band_mpa

EVEN_ODDS = 0.5
"""An answer of which nothing is known: as likely good as bad (our assumption, no source)."""

NEAR: Mapping[str, float] = {"mm": 0.1, "deg": 1.0, "N": 1.0, "MPa": 10.0}
"""How far beyond a limit a bad answer is taken, by unit, where there is room (our choice, no source)."""

WORDS: Mapping[str, tuple[str, ...]] = {
    **{quantity.name: quantity.words for quantity in QUANTITIES.values() if quantity.words},
    "alloy": tuple(sorted(IN_USE, key=lambda alloy: -proof_band_mpa(alloy).low)),
    "scans_expected": ("no", "yes"),
}
"""The answers in words, of equals the first; of alloys the strongest comes first."""


@dataclass(frozen=True, slots=True)
class Outcomes:
    """A good answer, the bad ones that are nearest to it (none: no answer goes against the plan), and the odds."""

    good: Fact
    bad: tuple[Fact, ...]
    chance: float


def outcomes(trial: Trial, mix: Sequence[Candidate], every: Sequence[Candidate]) -> Outcomes:
    """For the plan that is this mix; `every` candidate of the case may hang on the question too."""
    planned = [candidate for candidate in mix if trial.question in candidate.questions]
    others = [candidate for candidate in every if trial.question in candidate.questions]
    if trial.question.of in WORDS:
        return _of_words(trial, planned, others)
    return _of_numbers(trial, *([w for c in each for w in trial.windows(c)] for each in (planned, others)))


def extremes(trial: Trial) -> tuple[Fact, ...]:
    """Every word that may be the answer, or the least and the greatest number."""
    return WORDS.get(trial.question.of) or (Measure(trial.limits.low), Measure(trial.limits.high))


def _of_words(trial: Trial, planned: Sequence[Candidate], others: Sequence[Candidate]) -> Outcomes:
    def standing(candidates: Sequence[Candidate], word: str) -> list[Verdict]:
        return [trial.verdict(c, j, word) for c in candidates for j in trial.hanging(c)]

    def holds(candidates: Sequence[Candidate], word: str) -> int:
        return sum(verdict is Verdict.HOLDS for verdict in standing(candidates, word))

    def fails(word: str) -> int:
        return sum(verdict >= Verdict.SHORT for verdict in standing(planned, word))

    def still_open(word: str) -> int:
        return sum(trial.still_open(c, j, word) for c in planned for j in trial.hanging(c))

    def serves(word: str) -> tuple[int, int, int]:
        return -fails(word), holds(planned, word), -still_open(word)

    words = WORDS[trial.question.of]
    good = max(words, key=lambda word: (serves(word), holds(others, word)))
    worst = min(map(serves, words))
    bad = tuple(word for word in words if serves(word) == worst < serves(good))
    return Outcomes(good, bad, _odds(None, impossible=fails(good) > 0, sure=not bad))


class _Step(NamedTuple):
    """A stretch of answers between two edges, or an edge itself: nothing changes within."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


def _of_numbers(trial: Trial, planned: Sequence[Window], others: Sequence[Window]) -> Outcomes:
    limits, near = trial.limits, NEAR[_unit(trial.question.of)]
    steps = list(_steps(limits, chain(planned, others)))

    def score(step: _Step) -> tuple[int, int]:
        held, more = (sum(window.holds(step.middle) for window in windows) for windows in (planned, others))
        return held, more

    scores = [score(step) for step in steps]
    first = scores.index(max(scores))
    last = next((n for n in range(first, len(steps)) if scores[n] != scores[first]), len(steps)) - 1
    good = _within(_Step(steps[first].low, steps[last].high), limits, near)
    bad = tuple(_bad(limits, planned, near, good))
    share = sum(s.high - s.low for s in steps if all(w.holds(s.middle) for w in planned)) / (limits.high - limits.low)
    chance = _odds(share if limits.measured else None, impossible=scores[first][0] < len(planned), sure=not bad)
    return Outcomes(_number(good), tuple(map(_number, bad)), chance)


def _steps(limits: Limits, windows: Iterator[Window]) -> Iterator[_Step]:
    """Edges and the stretches between them, from the lowest answer to the highest."""
    within = {edge for window in windows for edge in window.edges if limits.low < edge < limits.high}
    edges = sorted(within | {limits.low, limits.high})
    for low, high in pairwise(edges):
        yield _Step(low, low)
        yield _Step(low, high)
    yield _Step(edges[-1], edges[-1])


def _within(step: _Step, limits: Limits, near: float) -> float:
    """The answer to take of a stretch that is open to a sane limit: its other end; else its middle."""
    if not limits.measured and (step.low > limits.low) != (step.high < limits.high):
        return _rounded_up(step.low, near / 10) if step.low > limits.low else -_rounded_up(-step.high, near / 10)
    return step.middle


def _rounded_up(value: float, grain: float) -> float:
    return ceil(round(value / grain, 3)) * grain


def _bad(limits: Limits, planned: Sequence[Window], near: float, good: float) -> Iterator[float]:
    """The nearest answers below and above the good one that fail the most needs of the plan."""
    stretches = [step for step in _steps(limits, iter(planned)) if step.low < step.high]

    def failing(step: _Step) -> tuple[int, int]:
        """What fails, then what stays open."""
        at = step.middle
        return sum(window.fails(at) for window in planned), sum(not window.holds(at) for window in planned)

    most = max(map(failing, stretches))
    bad = [step for step in stretches if failing(step) == most] if any(most) else []
    below, above = ([step for step in bad if (step.middle < good) is lower] for lower in (True, False))
    for step in below[-1:]:
        yield step.middle if limits.measured else max(step.high - near, step.middle)
    for step in above[:1]:
        yield step.middle if limits.measured else min(step.low + near, step.middle)


def _odds(share: float | None, *, impossible: bool, sure: bool) -> float:
    if impossible or sure:
        return 0.0 if impossible else 1.0
    return EVEN_ODDS if share is None else share


def _number(value: float) -> Measure:
    return Measure(round(value, 4))


def _unit(of: str) -> str:
    known = QUANTITIES.get(of)
    return known.unit if known else "N" if of == "force_n" else "mm"
