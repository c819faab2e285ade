"""What kinds of case, question and answer a random case stands for, so that every kind can be counted."""

from __future__ import annotations

from collections.abc import Iterator

from solver.assessment import Assessment, Status
from solver.give import Footing, Give
from solver.plan import Answer
from solver.second_opinion.world import World


def strata(world: World, answer: Answer, given: Give | None) -> frozenset[str]:
    """Labels of one case with its answers; `given` where no plan keeps every rule."""
    labels = {*_of_case(world), f"answer: {answer.status.value}"}
    if answer.status in (Status.FITS, Status.FITS_IF) and answer.best:
        labels |= {*_of_plan(answer.best), "mechanics: cuts" if answer.proof.cuts else "mechanics: none needed"}
    if given is not None:
        labels |= set(_of_waivers(given))
    return frozenset(labels)


def _of_case(world: World) -> Iterator[str]:
    case = world.case
    yield f"jaw: {case.arch}"
    yield "money: foreign" if case.money.currency != world.catalogue.currency else "money: own"
    yield "pulls: asked" if case.wanted.pull_n else "pulls: none"
    yield from (f"scans: {case.patient.scans_expected}", f"hand: {case.patient.hand}", f"bites: {case.opposing}")
    yield from (f"section: {segment.section}" for segment in case.segments.values())
    yield f"supports: {len(case.supports)}"


def _of_plan(plan: Assessment) -> Iterator[str]:
    yield from (f"kind: {candidate.attachment.kind}" for candidate in plan.mix)
    off = any(candidate.takes_bar_off for candidate in plan.mix)
    yield "strategy: bar off" if off else "strategy: bar kept" if plan.mix else "strategy: no attachment"
    yield f"questions: {min(len(plan.questions), 2)}"
    yield from (f"asks: {question.of}" for question in plan.questions)
    yield from ("work: rework" for candidate in plan.mix if candidate.extra_reworks)
    yield f"sites filled: {min(len(plan.mix), 3)}"


def _of_waivers(given: Give) -> Iterator[str]:
    if given.footing is not Footing.GIVES:
        yield "waivers: none helps"
        return
    yield f"waiver sets: {min(len(given.ways), 3)}"
    for way in given.ways:
        yield f"waived together: {min(len(way.rules), 3)}"
        yield from (f"waived: {rule.code.partition(':')[0]}" for rule in way.rules)
