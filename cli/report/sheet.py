"""What a report says, gathered from an answer: facts only, words stand in the templates."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cli.files.desk import Desk
from cli.version import version
from cli.wording.hazards import first_of_all
from cli.wording.numbers import Figures
from cli.wording.reasons import Reason, reasons, refused
from cli.wording.sources import Cited, cited
from cli.wording.work_order import Work, work_of
from solver.assess.assessment import Assessment, Status
from solver.assess.cautions import Caution, cautions
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.assess.rejections import ruled_out
from solver.case.rules import Even, LevelPull, Peel, Pulls, Rule, Spread, waivable
from solver.choose.check import Checked
from solver.choose.plan import Answer
from solver.explore.sensitivity import Sensitivity
from solver.explore.strategies import Strategy
from solver.fit.candidate import Candidate
from solver.fit.pricing import rework_cost

SECTIONS = ("case", "work", "patient")


@dataclass(frozen=True, slots=True)
class Origin:
    """Which file, catalogue and program a sheet comes from; title, remark and file name are empty where redacted."""

    title: str
    about: str
    file: str
    digest: str
    catalogue: str
    program: str
    day: datetime.date
    invented: bool
    redacted: bool


@dataclass(frozen=True, slots=True)
class Charge:
    """What is paid once a case."""

    name: str
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything the templates read. `work` is None where there is no plan, `hangs` where nothing was varied.

    `by_hand`: the mix was put by hand; `refused` are its needs that fail for good, `broken` the rules that it breaks
    and nobody can give up. `first` is what is done about the denture before all else.
    """

    origin: Origin
    figures: Figures
    found: Answer
    reasons: tuple[Reason, ...]
    cautions: tuple[Caution, ...]
    cited: tuple[Cited, ...]
    limits: tuple[Rule, ...]
    work: Work | None
    first: tuple[str, ...]
    ways: tuple[Strategy, ...]
    hangs: Sensitivity | None = None
    by_hand: bool = False
    refused: tuple[Reason, ...] = ()
    broken: tuple[Rule, ...] = ()

    @property
    def problem(self) -> Problem:
        """The case against the catalogue."""
        return self.found.problem

    @property
    def best(self) -> Assessment | None:
        """The plan that the sheet is about."""
        return self.found.best


def sheet_by_hand(judged: Checked, origin: Origin, figures: Figures) -> Sheet:
    """Gather the sheet of a mix that somebody put; other mixes are not looked at."""
    return replace(
        sheet_of(judged.answer, (), origin, figures),
        reasons=(),
        by_hand=True,
        refused=refused(judged.refusals, figures, redacted=origin.redacted),
        broken=tuple(rule for rule in judged.broken if not waivable(rule)),
    )


def sheet_of(
    found: Answer, ways: Sequence[Strategy], origin: Origin, figures: Figures, hangs: Sensitivity | None = None
) -> Sheet:
    """Gather a sheet; patient data are left out where the origin says so.

    `ways` are the strategies to set beside, `hangs` is what the choice hangs on.
    """
    problem, best = found.problem, found.best
    out = ruled_out(problem, Mechanics(problem))
    mix = best.mix if best else ()
    return Sheet(
        origin=origin,
        figures=figures,
        found=found,
        reasons=reasons(out, figures, redacted=origin.redacted),
        cautions=best.cautions if best else cautions(problem.case, problem.catalogue, ()),
        cited=cited(problem, mix, out, redacted=origin.redacted),
        limits=limits(problem, redacted=origin.redacted),
        work=work_of(problem, best) if best and best.mix and found.status is not Status.NONE else None,
        first=tuple(first_of_all(best)) if best else (),
        ways=tuple(ways),
        hangs=hangs,
    )


def origin_of(desk: Desk, name: str, content: bytes, day: datetime.date, *, redacted: bool) -> Origin:
    """Where a sheet comes from: the name and the content of the case file."""
    case = desk.case
    return Origin(
        title="" if redacted else case.case,
        about="" if redacted else case.about or "",
        file="" if redacted else name,
        digest=hashlib.sha256(content).hexdigest(),
        catalogue=" with ".join((desk.catalogue.version, *(Path(each).name for each in desk.laid))),
        program=version(),
        day=day,
        invented=case.invented,
        redacted=redacted,
    )


def limits(problem: Problem, *, redacted: bool) -> tuple[Rule, ...]:
    """Limits on the hold; one that was taken from the patient's hands is left out where patient data are."""
    rules = [rule for rule in problem.rules if isinstance(rule, LevelPull | Peel | Pulls | Spread | Even)]
    return tuple(rule for rule in rules if not (redacted and isinstance(rule, Peel)))


def charges(problem: Problem, mix: Sequence[Candidate]) -> list[Charge]:
    """Work paid once a case, in order."""
    names = dict.fromkeys(name for candidate in mix for name in candidate.charges)
    reworks = [problem.catalogue.reworks[name] for name in names]
    costs = [rework_cost(rework, problem.purse) for rework in reworks]
    return [Charge(rework.name, cost.low, cost.high) for rework, cost in zip(reworks, costs, strict=True)]
