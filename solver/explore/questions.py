"""What to ask or measure next: plans by the answers they hang on, and what each answer leads to.

An answer is a value at a place of the case (or at several of one bar) that is unknown, or known with an error that
leaves a need open. What it leads to is planned anew with a good and with a bad value (see `outcomes`) in the case.
Odds are even, or the share of the error interval where the needs of the plan hold. These are our assumptions, no
source; the plans and prices for each value do not depend on them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment
from solver.assess.problem import Least, Problem
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.plan import verified
from solver.choose.search import Options
from solver.explore.answered import Answer, entry_at
from solver.explore.incumbent import Undecided
from solver.explore.outcomes import WORDS, Outcomes, extremes, outcomes
from solver.explore.reply import Reply, reply
from solver.explore.windows import Trial
from solver.explore.worlds import Answers, Worlds, questions_of
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import Judgement, Verdict

_SIZES = {"width_mm", "height_mm"}
"""Taken as alike where a bar is to bear the bite and neither is known."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One question that the cheapest plan hangs on.

    `well` and `badly` are what a good and a bad answer lead to; `badly` is None where no answer goes against the
    plan. `chance` that the answer is good. `needs` are the needs of the plan that it leaves open, each once.
    """

    question: Question
    needs: tuple[Judgement, ...]
    chance: float
    well: Reply
    badly: Reply | None

    def stake(self, least: Least) -> float:
        """What a bad answer costs more (minor units); infinite where nothing fits then."""
        if self.badly is None or self.well.plan is None:
            return 0.0
        if self.badly.plan is None:
            return inf
        return float(self.badly.plan.paid(least).high - self.well.plan.paid(least).high)


@dataclass(frozen=True, slots=True)
class Ask:
    """Plans by the number of answers they hang on, and the questions in the order in which to ask.

    `curve`: for each number of answers that makes a difference the cheapest plan that hangs on no more; the first
    hangs on the fewest, the last is the cheapest of all. Empty where nothing fits whatever the answers. `asked`: what
    the cheapest plan hangs on, the most at stake first. `later`: what other plans of the curve hang on, or those that
    are left after a bad answer. `idle` are open questions of which no answer by itself changes the plan. `outcome`
    OPTIMAL: all of this is proved; UNDECIDED: time ran out, what is there holds, but there may be more.
    """

    problem: Problem
    curve: tuple[Assessment, ...]
    asked: tuple[Asked, ...]
    later: tuple[Question, ...]
    idle: tuple[Question, ...]
    outcome: Outcome
    least: Least = "now"

    @property
    def certain(self) -> Assessment | None:
        """The cheapest plan that hangs on nothing."""
        return self.curve[0] if self.curve and not self.curve[0].questions else None


def ask(case: Case, catalogue: Catalogue, how: Options = Options()) -> Ask:  # noqa: B008 - frozen
    """What hangs on what, and what to ask next; no rule is given up for it."""
    worlds = Worlds(case, catalogue, how)
    curve, asked, outcome = list[Assessment](), list[Asked](), Outcome.OPTIMAL
    later: tuple[Question, ...] = ()
    idle: tuple[Question, ...] = ()
    try:
        curve.extend(_from_the_cheapest(worlds))
        asked.extend(_asked(worlds, how.least))
        later, idle = _others(worlds, curve, asked)
    except Undecided:
        outcome = Outcome.UNDECIDED
    return Ask(worlds.problem(), tuple(curve[::-1]), _in_order(asked, how.least), later, idle, outcome, how.least)


def _from_the_cheapest(worlds: Worlds) -> Iterator[Assessment]:
    """From the cheapest plan to the one that hangs on the fewest answers."""
    chosen = worlds.cheapest()
    while chosen is not None:
        yield verified(chosen)
        fewer = len(questions_of(chosen)) - 1
        chosen = worlds.cheapest_on(fewer) if fewer >= 0 else None


def _in_order(asked: Sequence[Asked], least: Least) -> tuple[Asked, ...]:
    """The most at stake first, and of that what is least likely to come out well."""

    def at_stake(entry: Asked) -> tuple[float, float, Question]:
        risk = 1.0 - entry.chance
        return -entry.stake(least) * risk if risk else 0.0, -risk, entry.question

    return tuple(sorted(asked, key=at_stake))


def _others(
    worlds: Worlds, curve: Sequence[Assessment], asked: Sequence[Asked]
) -> tuple[tuple[Question, ...], tuple[Question, ...]]:
    """What comes in later, and what changes nothing.

    How a step comes out is no question that can be answered. What touches the plan by another way than what is asked,
    as the space does where its room is, is not called idle.
    """
    problem, taken = worlds.problem(), {entry.question for entry in asked}
    after = (plan for entry in asked if entry.badly for plan in (entry.badly.plan, entry.badly.certain) if plan)
    usable = (c for c in problem.fit.usable if not problem.option_of[c.key].needs_waived)
    hanging, every = (
        dict.fromkeys(q for each in some for q in each.questions if not q.of_a_step and q not in taken)
        for some in ((*curve, *after), usable)
    )
    planned = curve[0].mix if curve else ()
    apart = {question for question in every if not _touches(worlds, question, planned)}
    return tuple(hanging), tuple(question for question in every if question in apart and question not in hanging)


def _touches(worlds: Worlds, question: Question, mix: Sequence[Candidate]) -> bool:
    """True where some answer makes a need of the mix stand worse than it does."""
    trial = Trial(worlds.case, worlds.catalogue, worlds.purse, question)
    return any(
        trial.verdict(candidate, judgement, value) > judgement.verdict
        for value in extremes(trial)
        for candidate in mix
        for judgement in candidate.judgements
    )


def _asked(worlds: Worlds, least: Least) -> Iterator[Asked]:
    """Every question that the cheapest plan hangs on."""
    chosen = worlds.cheapest()
    if chosen is None:
        return
    mix = [option.candidate for option in chosen.options]
    for question, found in _answers(worlds, mix, questions_of(chosen)):
        bad = max(found.bad, key=lambda value: _cost(worlds, Answer(question, value), least), default=None)
        yield Asked(
            question, tuple(_needs(mix, question)), found.chance, reply(worlds, Answer(question, found.good)),
            None if bad is None else reply(worlds, Answer(question, bad)),
        )  # fmt: skip


def _answers(
    worlds: Worlds, mix: Sequence[Candidate], questions: Sequence[Question]
) -> Iterator[tuple[Question, Outcomes]]:
    """Good and bad values for what a mix hangs on, each with good answers to those before it; words come first."""
    before: Answers = frozenset()
    ordered = sorted((q for q in questions if not q.of_a_step), key=lambda q: (q.of not in WORDS, q))
    for number, question in enumerate(ordered, 1):
        alike = [other for other in ordered[number:] if {question.of, other.of} == _SIZES and _unknown(worlds, other)]
        trial = Trial(worlds.case_with(before), worlds.catalogue, worlds.purse, question, alike)
        found = outcomes(trial, mix, worlds.problem().fit.usable)
        before |= {Answer(question, found.good)}
        yield question, found


def _unknown(worlds: Worlds, question: Question) -> bool:
    return not any(entry_at(worlds.case, place).known for place in question.places)


def _cost(worlds: Worlds, answer: Answer, least: Least) -> float:
    """Of the cheapest plan with an answer; infinite where there is none."""
    answers = frozenset({answer})
    chosen = worlds.cheapest(answers)
    if chosen is None:
        return inf
    problem, mix = worlds.problem(answers), [option.candidate for option in chosen.options]
    return (problem.cost_of(mix) if least == "now" else problem.years_cost_of(mix)).high


def _needs(mix: Sequence[Candidate], question: Question) -> Iterator[Judgement]:
    """The needs of a mix that a question leaves open, each once."""
    judged = (
        judgement
        for candidate in mix
        for judgement in candidate.judgements
        if judgement.verdict is Verdict.ASK and question in candidate.asked_by(judgement)
    )
    yield from {(judgement.want, judgement.step): judgement for judgement in judged}.values()
