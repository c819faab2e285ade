"""Every need of one attachment at one site, and what rework or measurement would change the verdict."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.models import Catalogue
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.rules import Moves, NoFight, NotAllowed
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.fit.needs import Judgement, Verdict
from solver.fit.proposal import Put, candidate_for
from solver.mechanics.movement import Reach
from solver.mechanics.option import Option
from solver.mechanics.placement import placements_of


@dataclass(frozen=True, slots=True)
class Remedy:
    """Another variant of the same attachment whose verdict is better: with these reworks, this many."""

    candidate: Candidate
    cures: tuple[Judgement, ...]


@dataclass(frozen=True, slots=True)
class Why:
    """The candidate judged; work that is not allowed; a demand it binds alone; variants that come off better."""

    problem: Problem
    candidate: Candidate
    closed: tuple[NotAllowed, ...]
    binds: tuple[Moves | NoFight, Reach] | None
    remedies: tuple[Remedy, ...]


def why(case: Case, catalogue: Catalogue, site: str, put: Put) -> Why:
    """Judge one attachment at one site as it is; raises `BadPut` or `NoSuchSite` for what is not there."""
    problem = problem_of(case, catalogue)
    fit = problem.fit.at(site)
    plain = Put(put.attachment, put.count, put.reworks or ())
    candidate = candidate_for(plain, fit)
    closed = tuple(r for r in problem.rules if isinstance(r, NotAllowed) and r.permission in candidate.permissions)
    option = Option(candidate, placements_of(candidate, catalogue.defaults.play), ())
    better = [
        other
        for other in fit.every
        if other.attachment.id == put.attachment and other.count == put.count and other.verdict < candidate.verdict
    ]
    remedies = tuple(Remedy(other, _cures(candidate, other)) for other in better)
    return Why(problem, candidate, closed, Mechanics(problem).binds_alone(option), remedies)


def _cures(candidate: Candidate, other: Candidate) -> tuple[Judgement, ...]:
    """The needs that stand better with the other variant."""
    now = {(j.of, j.want): j for j in candidate.judgements if not j.step}
    return tuple(
        j
        for j in other.judgements
        if (j.of, j.want) in now and j.badness < now[j.of, j.want].badness and j.verdict is not Verdict.FAILS
    )
