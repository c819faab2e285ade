"""What to ask or measure next: plans by the answers they hang on, and what each answer is worth.

An answer is a fact of a site (site and quantity) that is unknown, or known with an error that leaves a need open. It
comes out well or badly for all that hangs on it: what must hold holds, or everything that hangs on it is out. Odds
are even, or the share of the error interval where the need holds (of several needs the least likely). Answers are
taken as independent. These are our assumptions, no source; the plans and prices do not depend on them.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from catalogue.models import Catalogue
from solver.assessment import Assessment
from solver.candidate import Question
from solver.case import Case
from solver.choose import Options, Search
from solver.judge import Judgement, Verdict
from solver.master import Master, Outcome, bound
from solver.mechanics import Mechanics
from solver.odds import Hanging, worth
from solver.plan import verified
from solver.problem import Least, Problem, problem_of
from solver.prune import undominated
from solver.ranking import best_first


@dataclass(frozen=True, slots=True)
class Asked:
    """One question worth asking.

    `well` is the cheapest plan that hangs on nothing else, `badly` the cheapest that can still be hoped for without
    it; None where there is none. `chance` that the answer is good; `saving` (minor units) and `rescue` as in
    `odds.Worth`, of the cost that is made least. `needs` are the needs that it leaves open, each once.
    """

    question: Question
    needs: tuple[Judgement, ...]
    chance: float
    saving: float
    rescue: float
    well: Assessment | None
    badly: Assessment | None


@dataclass(frozen=True, slots=True)
class Ask:
    """Plans by the number of answers they hang on, and the questions in the order in which to ask.

    `curve`: for each number of answers that makes a difference the cheapest plan that hangs on no more; the first
    hangs on the fewest. Empty where nothing fits whatever the answers. `idle` are open questions that change no
    decision. `outcome` OPTIMAL: all of this is proved; UNDECIDED: time ran out, there may be better.
    """

    problem: Problem
    curve: tuple[Assessment, ...]
    asked: tuple[Asked, ...]
    idle: tuple[Question, ...]
    outcome: Outcome
    least: Least = "now"

    @property
    def certain(self) -> Assessment | None:
        """The cheapest plan that hangs on nothing."""
        return self.curve[0] if self.curve and not self.curve[0].questions else None


def ask(case: Case, catalogue: Catalogue, how: Options = Options()) -> Ask:  # noqa: B008 - frozen
    """What hangs on what, and what to ask next; no rule is given up for it."""
    problem = problem_of(case, catalogue)
    plans = _Plans(problem, how)
    outcome = plans.explore()
    asked = tuple(
        sorted(_asked(problem, plans), key=lambda a: (-round(a.rescue, 9), -round(a.saving, 6), a.question))
    )
    worthy = {entry.question for entry in asked}
    idle = tuple(question for question in plans.open if question not in worthy)
    return Ask(problem, plans.curve(), asked, idle, outcome, how.least)


class _Plans:
    """For any set of answers the cheapest plan that hangs on no others, from one model.

    If the cheapest plan under a set hangs on few of it, it is the cheapest under every smaller set with those few:
    taking them away one at a time visits every plan that can ever be the cheapest.
    """

    def __init__(self, problem: Problem, how: Options) -> None:
        self._problem, self._mechanics = problem, Mechanics(problem)
        options = [option for option in problem.options if not option.needs_waived]
        self.open: tuple[Question, ...] = tuple(
            dict.fromkeys(question for option in options for question in option.candidate.questions)
        )
        if how.least == "now":  # an option that replaces another may still wear sooner
            options = undominated(problem, self._mechanics, options)
        self.least = how.least
        self._master = Master(problem, options, self._mechanics, from_last=True)
        self._search = Search(problem, self._mechanics, self._master, how)
        self._best_first = best_first(problem, options, how.least)
        self._cheapest: list[tuple[frozenset[Question], Assessment | None]] = []

    @property
    def found(self) -> tuple[Assessment, ...]:
        """The plans visited."""
        return tuple(plan for _, plan in self._cheapest if plan)

    def explore(self) -> Outcome:
        """Visit all of them; UNDECIDED where time ran out before."""
        untried = deque([frozenset(self._master.asked)])
        seen = set(untried)
        while untried:
            allowed = untried.popleft()
            outcome, plan = self._under(allowed)
            if outcome is Outcome.UNDECIDED:
                return outcome
            smaller = [allowed - {question} for question in (plan.questions if plan else ())]
            untried += [each for each in smaller if each not in seen]
            seen.update(smaller)
        return Outcome.OPTIMAL

    def known(self, allowed: Collection[Question]) -> Assessment | None:
        """The cheapest plan found that hangs on nothing but these."""
        fitting = [plan for plan in self.found if set(plan.questions) <= set(allowed)]
        return min(fitting, key=self._rank, default=None)

    def paid(self, plan: Assessment) -> int:
        """What a plan costs at most, in the cost that is made least."""
        return plan.paid(self.least).high

    def curve(self) -> tuple[Assessment, ...]:
        """From the fewest answers to the least cost."""
        plans: list[Assessment] = []
        for plan in sorted(self.found, key=lambda plan: (len(plan.questions), *self._rank(plan))):
            if not plans or self.paid(plan) < self.paid(plans[-1]):
                plans.append(plan)
        return tuple(plans)

    def _under(self, allowed: frozenset[Question]) -> tuple[Outcome, Assessment | None]:
        """The cheapest plan that hangs on nothing but these; what was cheapest under more is not sought again."""
        for larger, plan in self._cheapest:
            if allowed <= larger and (plan is None or allowed.issuperset(plan.questions)):
                return Outcome.OPTIMAL, plan
        for question, literal in self._master.asked.items():
            bound(literal, 0, int(question in allowed))
        solved = self._search.settle(self._best_first)
        outcome = solved.outcome
        if outcome is Outcome.UNDECIDED:
            return outcome, None
        plan = None
        if outcome is Outcome.OPTIMAL:
            plan = verified(self._search.mix_of(solved))
        self._cheapest.append((allowed, plan))
        return outcome, plan

    def _rank(self, plan: Assessment) -> tuple[int, int]:
        return self.paid(plan), len(plan.questions)


def _asked(problem: Problem, plans: _Plans) -> Iterator[Asked]:
    """Every question that some plan worth having hangs on."""
    hanging = [Hanging(frozenset(plan.questions), plans.paid(plan)) for plan in plans.found]
    relevant = tuple(dict.fromkeys(question for plan in plans.found for question in plan.questions))
    needs = {question: _needs(plans.found, question) for question in relevant}
    chance = {question: min(need.chance for need in needs[question]) for question in relevant}
    for question in relevant:
        value = worth(question, hanging, chance)
        rest = frozenset(relevant) - {question}
        yield Asked(
            question, needs[question], chance[question], value.saving, value.rescue,
            plans.known({question}), plans.known(rest),
        )  # fmt: skip


def _needs(plans: Iterable[Assessment], question: Question) -> tuple[Judgement, ...]:
    """The needs of the plans that a question leaves open, each once."""
    judged = (
        judgement
        for plan in plans
        for candidate in plan.mix
        for judgement in candidate.judgements
        if judgement.verdict is Verdict.ASK and question in candidate.asked_by(judgement)
    )
    return tuple({(judgement.want, judgement.step): judgement for judgement in judged}.values())
