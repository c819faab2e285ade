"""Where the figures of a report come from: every source used, by its kind, with what it stands for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalogue.blocks import Source, SourceKind
from catalogue.models import Attachment
from cli.wording.reasons import OF_THE_PATIENT
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut
from solver.fit.candidate import Candidate

KINDS: tuple[SourceKind, ...] = ("published", "common-practice", "memory", "invented")


@dataclass(frozen=True, slots=True)
class Cited:
    """A source, the figures taken from it, and the number that the tables refer to."""

    number: int
    key: str
    source: Source
    figures: tuple[str, ...]


def cited(
    problem: Problem, mix: Sequence[Candidate], out: Sequence[RuledOut], *, redacted: bool
) -> tuple[Cited, ...]:
    """Sources of everything fitted and of every reason given, in the order of `KINDS`, numbered from 1.

    Where patient data are left out, so is what a need of the patient rests on.
    """
    judged = [j for c in mix for j in c.judgements] + [j for entry in out for j in entry.judgements]
    told = [(j.source, j.label) for j in judged if not (redacted and j.of in OF_THE_PATIENT)]
    found: dict[str, dict[str, None]] = {}
    for key, figure in (*_of_mix(mix), *told, *_of_defaults(problem)):
        found.setdefault(key, {})[figure] = None
    sources = problem.catalogue.sources
    keys = sorted(found, key=lambda key: KINDS.index(sources[key].kind))
    return tuple(Cited(n, key, sources[key], tuple(found[key])) for n, key in enumerate(keys, 1))


def _of_mix(mix: Sequence[Candidate]) -> Iterator[tuple[str, str]]:
    for candidate in mix:
        yield from _of_attachment(candidate.attachment)
        for rework in candidate.reworks:
            yield rework.source, "rework"
            yield rework.price.source, "prices"
            yield rework.work.source, "minutes"


def _of_attachment(entry: Attachment) -> Iterator[tuple[str, str]]:
    yield entry.retention_n.source, "hold"
    yield entry.movement.source, "movement"
    yield entry.stack.source, "heights"
    yield entry.price.source, "prices"
    yield entry.work.source, "minutes"
    if entry.wear:
        yield entry.wear.source, "wear"
    if entry.service:
        yield entry.service.source, "service"


def _of_defaults(problem: Problem) -> Iterator[tuple[str, str]]:
    """Figures taken where the case is silent."""
    defaults, case = problem.catalogue.defaults, problem.case
    yield defaults.play.source, "small play"
    if not case.denture.settling_mm.known:
        yield defaults.settling_mm.source, "settling of the mucosa"
    if case.denture.acrylic_mm is None:
        yield defaults.acrylic_mm.source, "thickness of acrylic"
    if case.denture.tooth_mm is None:
        yield defaults.tooth_mm.source, "height of the tooth"
    if case.wanted.hold_n is None:
        yield defaults.hold_n.source, "least hold"
