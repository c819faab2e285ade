"""Check a proposed mix: does it fit, move, hold, and what does it cost? The same rules as for a plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.rules import Rule
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.plan import Answer
from solver.choose.search import Choice
from solver.fit.bench import LEFT_BARE
from solver.fit.candidate import Candidate
from solver.fit.needs import Judgement, Verdict
from solver.fit.proposal import Put, candidate_for


@dataclass(frozen=True, slots=True)
class Refusal:
    """A need that fails for good at a site of the mix."""

    candidate: Candidate
    judgement: Judgement


@dataclass(frozen=True, slots=True)
class Checked:
    """The mix worked out, the rules it breaks, and the needs it cannot meet."""

    problem: Problem
    status: Status
    plan: Assessment
    refusals: tuple[Refusal, ...]
    broken: tuple[Rule, ...]

    @property
    def answer(self) -> Answer:
        """As an answer: this plan and no other, and nothing proved of others."""
        return Answer(self.problem, self.status, (self.plan,), Choice(Outcome.FEASIBLE, (self.plan,), 0, 0))


class BarOnAndOff(Exception):
    """A mix that needs the bar in the mouth and off it at once."""


def check(case: Case, catalogue: Catalogue, puts: Mapping[str, Put]) -> Checked:
    """Judge a mix; raises `BadPut` for what cannot be put, `NoSuchSite`, `BarOnAndOff`."""
    problem = problem_of(case, catalogue)
    fitted = {site: candidate_for(put, problem.fit.at(site)) for site, put in puts.items()}
    if not any(candidate.takes_bar_off for candidate in fitted.values()):
        fitted = {**_left_bare(problem), **fitted}
    mix = tuple(fitted[site] for site in problem.site_ids if site in fitted)
    if len({c.takes_bar_off for c in mix}) > 1:
        raise BarOnAndOff
    plan = assess(problem, Mechanics(problem), map(problem.option, mix))
    refusals = tuple(Refusal(c, j) for c in mix for j in c.judgements if j.verdict is Verdict.FAILS)
    return Checked(problem, Status.NONE if refusals else plan.status, plan, refusals, plan.broken)


def _left_bare(problem: Problem) -> dict[str, Candidate]:
    """The ends of which it must be asked whether they can be left as they are."""
    return {c.site.id: c for c in problem.fit.usable if c.attachment.id == LEFT_BARE}
