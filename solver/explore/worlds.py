"""One case with some of its questions answered: planned anew each time, sharing what the answers leave as it is."""

from __future__ import annotations

import time
from collections.abc import Collection, Mapping
from copy import copy
from typing import TypeAlias

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem, problem_of
from solver.case.schema import Case
from solver.case.sites import Site, sites_of
from solver.choose.goals import COST, YEARS
from solver.choose.master import Outcome
from solver.choose.search import Choice, Goal, Options, choose, choose_least
from solver.explore.answered import Answer, answered
from solver.explore.incumbent import Undecided
from solver.fit.bench import Bench, Fit, SiteFit
from solver.fit.candidate import Question
from solver.fit.pricing import purse_of

Answers: TypeAlias = frozenset[Answer]


PAID: Mapping[Least, Goal] = {"now": COST.goal, "years": YEARS.goal}
QUESTIONS = Goal(
    lambda master: sum(master.asked.values()),
    lambda mix: len(mix.questions),
)


class Worlds:
    """Plans of a case under any answers; all together take at most the time of `how`, else `Undecided` is raised."""

    def __init__(self, case: Case, catalogue: Catalogue, how: Options) -> None:
        self.case, self.catalogue, self._how = case, catalogue, how
        self.purse = purse_of(case, catalogue)
        self._until = time.monotonic() + how.time_limit_s
        self._fitted: dict[tuple[object, ...], SiteFit] = {}
        self._problems: dict[Answers, Problem] = {}
        self._mechanics: dict[Answers, Mechanics] = {}
        self._cheapest: dict[Answers, Assessment | None] = {}

    def case_with(self, answers: Answers) -> Case:
        """The case with these answers filled in."""
        case = self.case
        for answer in sorted(answers, key=lambda answer: answer.question):
            case = answered(case, answer)
        return case

    def problem(self, answers: Answers = frozenset()) -> Problem:
        """The case with these answers, prepared."""
        if answers not in self._problems:
            case = self.case_with(answers)
            self._problems[answers] = problem_of(case, self.catalogue, self._fit(case))
        return self._problems[answers]

    def cheapest(self, answers: Answers = frozenset()) -> Assessment | None:
        """The cheapest mix with these answers that keeps every rule, whatever else it hangs on."""
        if answers not in self._cheapest:
            self._cheapest[answers] = self._chosen(answers)
        return self._cheapest[answers]

    def certain(self, answers: Answers) -> Assessment | None:
        """The cheapest mix with these answers that hangs on nothing else."""
        best = self.cheapest(answers)
        if not questions_of(best):
            return best
        return self._chosen(answers, [c.key for c in self.problem(answers).fit.usable if c.questions])

    def cheapest_on(self, most: int) -> Assessment | None:
        """The cheapest mix, with the case as it is, that hangs on no more answers than this."""
        problem, mechanics, least = self.problem(), self._mechanics_of(frozenset()), self._how.least
        choice = choose_least(
            problem, mechanics, self._left, [PAID[least]], [(QUESTIONS, most)], prune=least == "now"
        )
        return _found(choice)

    def within(self, seconds: float) -> Worlds:
        """The same worlds, with what is known of them, for so many seconds at most."""
        nearer = copy(self)
        nearer._until = min(self._until, time.monotonic() + seconds)
        return nearer

    def mechanics(self) -> Mechanics:
        """What the case as it is has been asked of mechanics so far."""
        return self._mechanics_of(frozenset())

    def _chosen(self, answers: Answers, forbid: Collection[str] = ()) -> Assessment | None:
        return _found(choose(self.problem(answers), self._mechanics_of(answers), self._left, forbid=forbid))

    @property
    def _left(self) -> Options:
        return self._how.left(self._until)

    def _mechanics_of(self, answers: Answers) -> Mechanics:
        if answers not in self._mechanics:
            problem, first = self.problem(answers), next(iter(self._mechanics.values()), None)
            self._mechanics[answers] = first.beside(problem) if first else Mechanics(problem)
        return self._mechanics[answers]

    def _fit(self, case: Case) -> Fit:
        """Sites about which nothing is known anew are not judged again."""
        bench = Bench(case, self.catalogue, self.purse)
        return Fit(tuple(self._fit_site(bench, site) for site in sites_of(case, self.catalogue.defaults)))

    def _fit_site(self, bench: Bench, site: Site) -> SiteFit:
        case = bench.case
        key = (site.id, tuple(site.facts.items()), tuple(site.places.items()), case.bite, case.patient)
        if key not in self._fitted:
            self._fitted[key] = bench.fit_site(site)
        return self._fitted[key]


def _found(choice: Choice) -> Assessment | None:
    if choice.outcome is Outcome.UNDECIDED:
        raise Undecided
    return choice.mixes[0] if choice.mixes else None


def questions_of(chosen: Assessment | None) -> tuple[Question, ...]:
    """What a mix hangs on, each question once."""
    return chosen.questions if chosen else ()
