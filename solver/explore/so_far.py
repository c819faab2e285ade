"""What can be said while a case is still being told: the plan so far, between which costs, and what to ask next.

Lighter than `questions.ask`, which proves every plan for every answer: here an open question of the plan is weighed
by what the nearest bad answer to it leads to, and only when the plan has changed. So the next thing to ask is there
when the last answer has been typed.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment, Status
from solver.assess.problem import Problem
from solver.case.provenance import Place
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.plan import verified
from solver.choose.search import Options, choose_relaxed
from solver.explore.answered import Answer
from solver.explore.incumbent import Undecided
from solver.explore.outcomes import WORDS, outcomes
from solver.explore.windows import Trial
from solver.explore.worlds import Worlds
from solver.fit.candidate import Candidate, Question

WEIGHED_S = 0.4
"""Seconds to weigh the questions in; what is not weighed then is asked after what is (our choice)."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """An open question of the plan; `worst` is the high end of the cost after the worst of its nearest bad answers.

    Minor units; infinite where nothing fits then, None where it was not weighed.
    """

    question: Question
    worst: float | None = None


@dataclass(frozen=True, slots=True)
class SoFar:
    """The cheapest plan of what is known, and its open questions in the order in which to ask them.

    Without one within the limits `best` is the plan that gives up the least, or None. `unknown` are questions of it
    that were asked and not answered. `undecided`: no time was left.
    """

    problem: Problem
    best: Assessment | None
    weighed: tuple[Weighed, ...]
    unknown: tuple[Weighed, ...] = ()
    undecided: bool = False

    @property
    def status(self) -> Status:
        """How the case stands."""
        if self.undecided:
            return Status.UNDECIDED
        return self.best.status if self.best else Status.NONE

    @property
    def dearest(self) -> int | None:
        """The high end of what it may cost, whichever one answer comes out badly; None where there is no plan."""
        if self.best is None:
            return None
        worst = (entry.worst or 0.0 for entry in (*self.weighed, *self.unknown))
        return int(max([self.best.cost.high, *(cost for cost in worst if cost < inf)]))

    @property
    def decisive(self) -> tuple[Question, ...]:
        """The questions of which a bad answer leaves nothing that fits."""
        return tuple(entry.question for entry in (*self.weighed, *self.unknown) if entry.worst == inf)


def so_far(
    case: Case,
    catalogue: Catalogue,
    how: Options = Options(),  # noqa: B008 - frozen
    *,
    passed: Collection[Place] = (),
    before: SoFar | None = None,
) -> SoFar:
    """Plan a case that is half told; what stands at a place in `passed` has been asked and is not asked again.

    While the plan stays that of `before`, so does the order of its questions.
    """
    worlds = Worlds(case, catalogue, how)
    problem = worlds.problem()
    try:
        best = worlds.cheapest()
    except Undecided:
        return SoFar(problem, None, (), (), undecided=True)
    if best is None:
        relaxed = choose_relaxed(problem, worlds.mechanics(), how)
        given_up = verified(relaxed.best) if relaxed.best else None
        unweighed = tuple(map(Weighed, _open(given_up)))
        return _parted(SoFar(problem, given_up, unweighed, (), relaxed.outcome is Outcome.UNDECIDED), passed)
    verified(best)
    every = _in_order(worlds, best, _open(best), _still_true(best, case, before))
    return _parted(SoFar(problem, best, every), passed)


def _parted(found: SoFar, passed: Collection[Place]) -> SoFar:
    """What has been asked is not asked again."""
    asked = [entry for entry in found.weighed if set(passed).issuperset(entry.question.places)]
    left = tuple(entry for entry in found.weighed if entry not in asked)
    return replace(found, weighed=left, unknown=tuple(asked))


def _still_true(best: Assessment, case: Case, before: SoFar | None) -> dict[Question, float]:
    """What was weighed before, as long as plan and money are the same."""
    if not (before and before.best and before.best.keys == best.keys and before.problem.case.money == case.money):
        return {}
    return {entry.question: entry.worst for entry in (*before.weighed, *before.unknown) if entry.worst is not None}


def _open(best: Assessment | None) -> list[Question]:
    """What a plan hangs on; how a step comes out cannot be asked."""
    return [question for question in (best.questions if best else ()) if not question.of_a_step]


def _in_order(
    worlds: Worlds, best: Assessment, left: Sequence[Question], known: Mapping[Question, float]
) -> tuple[Weighed, ...]:
    """First what leaves nothing, then what costs most; of equals words, then what decides most."""
    hanging = {question: _hanging(worlds.problem(), question) for question in left}
    by_reach = sorted(left, key=lambda question: (question.of not in WORDS, -hanging[question]))
    mix = [option.candidate for option in best.options]
    found = list(_weighed(worlds.within(WEIGHED_S), mix, by_reach, known))

    def worth(entry: Weighed) -> float:
        return 1.0 if entry.worst is None else -entry.worst

    return tuple(sorted(found, key=worth))


def _hanging(problem: Problem, question: Question) -> int:
    """How many of all that could be fitted hang on a question."""
    return sum(question in candidate.questions for candidate in problem.fit.usable)


def _weighed(
    worlds: Worlds, mix: Sequence[Candidate], questions: Sequence[Question], known: Mapping[Question, float]
) -> Iterator[Weighed]:
    late = False
    for question in questions:
        worst = known.get(question)
        if worst is None and not late:
            try:
                worst = _worst(worlds, mix, question)
            except Undecided:
                late = True
        yield Weighed(question, worst)


def _worst(worlds: Worlds, mix: Sequence[Candidate], question: Question) -> float:
    """What the worst of the nearest bad answers leads to, of those that there is time for; 0 where none does harm."""
    trial = Trial(worlds.case, worlds.catalogue, worlds.purse, question)
    worst = 0.0
    for value in outcomes(trial, mix, mix).bad:
        try:
            chosen = worlds.cheapest(frozenset({Answer(question, value)}))
        except Undecided:
            if not worst:
                raise
            return worst
        worst = max(worst, float(chosen.cost.high) if chosen else inf)
        if worst == inf:
            break
    return worst
