"""The work order as data: what to measure, what to do in which order, what to order, and for how long."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from catalogue.blocks import Work as Minutes
from catalogue.models import Attachment, Rework
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.measure import Measure
from solver.case.sites import Fact, reworked
from solver.fit.candidate import Candidate

Band: TypeAlias = tuple[float, float]

_GAUGED = {"clip": ("undercut_mm", "width_mm"), "ball": ("ball_mm", "out_of_round_mm"), "stud": ("width_mm",)}
"""What the bench measures again before it starts, by kind of attachment (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Target:
    """A quantity that a step makes: word or number, with its tolerance; `was` is what was measured before."""

    of: str
    value: str | float
    tolerance_mm: float
    was: Fact | None


@dataclass(frozen=True, slots=True)
class Gauge:
    """A quantity to measure before work starts, what the case says, and what the attachment wants."""

    site: str
    of: str
    have: Fact
    want: str


@dataclass(frozen=True, slots=True)
class ReworkStep:
    """A rework at its sites, with what it makes."""

    sites: tuple[str, ...]
    rework: Rework
    targets: tuple[Target, ...]
    bench: Band
    chair: Band


@dataclass(frozen=True, slots=True)
class FitStep:
    """Attachments to pick up at a site."""

    candidate: Candidate
    bench: Band
    chair: Band


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces to order."""

    attachment: Attachment
    count: int
    sites: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """The whole order. Minutes run from low to high."""

    gauges: tuple[Gauge, ...]
    reworks: tuple[ReworkStep, ...]
    fits: tuple[FitStep, ...]
    parts: tuple[Part, ...]
    bench: Band
    chair: Band


def work_of(problem: Problem, plan: Assessment) -> Work:
    """The order for a plan: measure, rework (what is done once a case first), fit."""
    reworks = (*_once(problem, plan.mix), *(step for candidate in plan.mix for step in _reworks(candidate)))
    fits = tuple(_fit(candidate) for candidate in plan.mix)
    steps: tuple[ReworkStep | FitStep, ...] = (*reworks, *fits)
    return Work(
        gauges=tuple(gauge for candidate in plan.mix for gauge in _gauges(candidate)),
        reworks=reworks,
        fits=tuple(step for step in fits if step.candidate.parts),
        parts=_parts(plan.mix),
        bench=_total(step.bench for step in steps),
        chair=_total(step.chair for step in steps),
    )


def _gauges(candidate: Candidate) -> Iterator[Gauge]:
    asked = [question.of for question in candidate.questions]
    facts = candidate.site.facts
    for of in dict.fromkeys((*_GAUGED.get(candidate.attachment.kind, ()), *asked)):
        if of in facts:
            wants = [j.want for j in candidate.judgements if j.of == of and (j.step or not candidate.extra_reworks)]
            yield Gauge(candidate.site.id, of, facts[of], wants[0] if wants else "")


def _once(problem: Problem, mix: Sequence[Candidate]) -> Iterator[ReworkStep]:
    for name in dict.fromkeys(charge for candidate in mix for charge in candidate.charges):
        rework = problem.catalogue.reworks[name]
        sites = tuple(c.site.id for c in mix if name in c.charges)
        yield ReworkStep(sites, rework, (), *_minutes(rework.work))


def _reworks(candidate: Candidate) -> Iterator[ReworkStep]:
    facts = candidate.site.facts
    for rework in candidate.reworks:
        after = reworked(facts, rework)
        if not rework.once:
            made = [Target(of, value, rework.tolerance_mm, facts.get(of)) for of, value in rework.makes.items()]
            changed = [
                Target(of, fact.value, fact.error, facts.get(of))
                for of in rework.changes
                if isinstance(fact := after.get(of), Measure) and fact.value is not None
            ]
            yield ReworkStep((candidate.site.id,), rework, (*made, *changed), *_minutes(rework.work))
        facts = after


def _fit(candidate: Candidate) -> FitStep:
    return FitStep(candidate, *_minutes(candidate.attachment.work, candidate.count))


def _parts(mix: Sequence[Candidate]) -> tuple[Part, ...]:
    fitted = [candidate for candidate in mix if candidate.parts]
    return tuple(
        Part(
            attachment,
            sum(c.parts for c in fitted if c.attachment.id == key),
            tuple(c.site.id for c in fitted if c.attachment.id == key),
        )
        for key, attachment in {c.attachment.id: c.attachment for c in fitted}.items()
    )


def _minutes(work: Minutes, times: int = 1) -> tuple[Band, Band]:
    return (times * work.bench[0], times * work.bench[1]), (times * work.chair[0], times * work.chair[1])


def _total(bands: Iterator[Band]) -> Band:
    lows, highs = zip(*bands, strict=True)
    return sum(lows), sum(highs)
