"""Judges a recommended plan against what practice expects; knows nothing of how the plan came about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from tests.vignettes.expectation import EMPTY, Expectation, Pattern

EARLY = 3
"""A question among the first so many is asked early."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """What goes on one site."""

    attachment: str
    reworks: tuple[str, ...] = ()
    count: int = 1


@dataclass(frozen=True, slots=True)
class Recommended:
    """The plan that is recommended: sites left bare are not in `mix`, `peel_n` is None where it is not told."""

    status: str
    mix: Mapping[str, Fitted]
    pull_n: Mapping[str, float]
    peel_n: float | None = None


def shortfalls(wanted: Expectation, plan: Recommended, questions: Sequence[str] = ()) -> tuple[str, ...]:
    """All that falls short, in words; empty where the plan is what practice expects."""
    return (*_of_mix(wanted, plan), *_of_hold(wanted, plan), *_of_words(wanted, plan, questions))


def matches(mix: Mapping[str, Fitted], pattern: Pattern) -> bool:
    """True where every named site carries what its globs say, and others are empty where `alone`."""
    if pattern.alone and mix.keys() - pattern.globs.keys():
        return False
    return all(_carries(mix.get(site), globs) for site, globs in pattern.globs.items())


def _carries(fitted: Fitted | None, globs: Sequence[str]) -> bool:
    if fitted is None:
        return EMPTY in globs
    return any(fnmatchcase(fitted.attachment, glob) for glob in globs if glob != EMPTY)


def _of_mix(wanted: Expectation, plan: Recommended) -> Iterator[str]:
    told = ", ".join(f"{site} {fitted.attachment}" for site, fitted in plan.mix.items()) or "nothing"
    if wanted.use and not any(matches(plan.mix, pattern) for pattern in wanted.use):
        yield f"plans {told}"
    for pattern in wanted.never:
        if matches(plan.mix, pattern):
            yield f"never {_words(pattern)}"
    for sites in wanted.alike:
        if len({(f.attachment, f.reworks) if (f := plan.mix.get(site)) else None for site in sites}) > 1:
            yield f"{' and '.join(sites)} not alike"
    if (fitted_parts := sum(fitted.count for fitted in plan.mix.values())) < wanted.parts:
        yield f"{fitted_parts} of {wanted.parts} parts"


def _of_hold(wanted: Expectation, plan: Recommended) -> Iterator[str]:
    for name, least in wanted.pull_n.items():
        if (taken := plan.pull_n.get(name, 0.0)) < least:
            yield f"pull {name} {taken:.1f} of {least:g} N"
    if wanted.peel_n is not None and (plan.peel_n is None or plan.peel_n > wanted.peel_n):
        yield f"peel {'not told' if plan.peel_n is None else f'{plan.peel_n:.1f} N'}, {wanted.peel_n:g} at most"


def _of_words(wanted: Expectation, plan: Recommended, questions: Sequence[str]) -> Iterator[str]:
    if wanted.status and plan.status not in wanted.status:
        yield f"status {plan.status}"
    early = [question.lower() for question in questions[:EARLY]]
    if wanted.ask and not any(word in question for word in wanted.ask for question in early):
        yield f"asks {'; '.join(question.split('?')[0] for question in early) or 'nothing'} first"
    if wanted.ask_most is not None and len(questions) > wanted.ask_most:
        yield f"{len(questions)} questions, {wanted.ask_most} at most"


def _words(pattern: Pattern) -> str:
    if pattern.alone:
        return f"only {' '.join(pattern.globs)}"
    return " ".join(f"{site} {'|'.join(globs)}" for site, globs in pattern.globs.items())
