"""What kinds of case and answer a random case stands for, so that every kind can be counted."""

from __future__ import annotations

from collections.abc import Iterator

from solver.assess.assessment import Assessment
from solver.audit.second_opinion.world import World
from solver.choose.plan import Answer


def strata(world: World, answer: Answer) -> frozenset[str]:
    """Labels of one case with its answer."""
    labels = {*_of_case(world), f"answer: {answer.status.value}", f"tier: {answer.tier or 'none'}"}
    if answer.best:
        labels |= {*_of_plan(answer.best), "mechanics: cuts" if answer.proof.cuts else "mechanics: none needed"}
    return frozenset(labels)


def _of_case(world: World) -> Iterator[str]:
    case = world.case
    yield f"jaw: {case.arch}"
    yield "money: foreign" if case.money.currency != world.catalogue.currency else "money: own"
    yield "pulls: asked" if case.wanted.pull_n else "pulls: none"
    yield from (f"scans: {case.patient.scans_expected}", f"hand: {case.patient.hand}", f"bites: {case.opposing}")
    yield from (f"section: {segment.section}" for segment in case.segments.values())


def _of_plan(plan: Assessment) -> Iterator[str]:
    """Two questions and three sites stand for that many and more."""
    yield from (f"kind: {candidate.attachment.kind}" for candidate in plan.mix)
    yield "strategy: bar off" if plan.takes_bar_off else "strategy: bar kept"
    yield f"questions: {min(len(plan.questions), 2)}"
    yield from (f"asks: {question.of}" for question in plan.questions)
    yield from ("work: rework" for candidate in plan.mix if candidate.extra_reworks)
    yield f"sites filled: {min(len(plan.mix), 3)}"
    yield from (f"given up: {entry.rule.code.partition(':')[0]}" for entry in plan.given_up)
    yield from (f"without: {preference.code}" for preference in plan.unpreferred)
    yield from (f"verdict: {verdict.verdict.value}" for verdict in plan.verdicts)
