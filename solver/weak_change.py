"""What a figure at one end of its band changes of all that a choice looks at; changes of nothing are left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from catalogue.blocks import Movement
from catalogue.models import Attachment, Rework
from solver.candidate import Candidate
from solver.fit import Bench, Fit, SiteFit
from solver.judge import Verdict
from solver.plan import Answer
from solver.price import candidate_cost, rework_cost
from solver.problem import Option, Problem, problem_of
from solver.prune import replaces
from solver.weak_figures import WeakFigure, with_figure

Look: TypeAlias = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A case against the catalogue with one figure changed.

    `fresh` are options that are not there otherwise and that no option there replaces. With `only_adds` the rules,
    and the options of the plan, are as they were, so that only these can be better than the plan.
    """

    figure: WeakFigure
    value: float
    problem: Problem
    fresh: tuple[Option, ...]
    only_adds: bool


def changes_of(found: Answer, figures: Iterable[WeakFigure]) -> Iterator[Change]:
    """Every change that could make a plan worse or another better."""
    problem, over_years = found.problem, found.least == "years"
    looks = {_look(problem, c, over_years=over_years) for c in problem.fit.usable}
    planned = found.best.mix if found.best else ()
    bench = Bench(problem.case, problem.catalogue, problem.purse)
    for figure in figures:
        for value in figure.ends:
            changed = changed_problem(problem, figure, value, bench)
            gone, fresh_at = _exchanged(problem.fit, changed.fit)
            anew = {_look(changed, c, over_years=over_years): c for c in fresh_at}
            kept = all(id(c) not in gone or _look(problem, c, over_years=over_years) in anew for c in planned)
            only_adds = kept and _limits(changed) == _limits(problem)
            fresh = tuple(changed.option(c) for look, c in anew.items() if look not in looks)
            if only_adds and not over_years:  # what replaces an option may still wear sooner
                fresh = tuple(option for option in fresh if not _replaced(option, problem))
            if fresh or not only_adds:
                yield Change(figure, value, changed, fresh, only_adds)


def _exchanged(before: Fit, after: Fit) -> tuple[set[int], list[Candidate]]:
    """The usable candidates that are no longer there (by `id`), and those that are new."""
    gone, anew = set[int](), list[Candidate]()
    for old, new in zip(before.sites, after.sites, strict=True):
        if new is not old:
            ours, theirs = {id(c) for c in old.usable}, {id(c) for c in new.usable}
            gone |= ours - theirs
            anew += (c for c in new.usable if id(c) not in ours)
    return gone, anew


def changed_problem(problem: Problem, figure: WeakFigure, value: float, bench: Bench) -> Problem:
    """The case against the catalogue with one figure changed; only what can differ is worked out again.

    `bench` is one for the case against the catalogue as it is.
    """
    catalogue = with_figure(problem.catalogue, figure.path, value)
    group, name, of = str(figure.path[0]), str(figure.path[1]), figure.path[2]
    if group == "attachments" and of in _JUDGED:
        return replace(problem, catalogue=catalogue, fit=_refitted(problem, bench, catalogue.attachments[name]))
    if group == "attachments":
        attachment = catalogue.attachments[name]
        return replace(problem, catalogue=catalogue, fit=_swapped(problem, attachment=attachment))
    if group == "reworks" and of in ("price", "work"):
        rework = catalogue.reworks[name]
        charges = problem.charges | ({name: rework_cost(rework, problem.purse)} if rework.once else {})
        return replace(problem, catalogue=catalogue, fit=_swapped(problem, rework=rework), charges=charges)
    if group == "reworks":
        bench = Bench(problem.case, catalogue, problem.purse)
        return replace(problem, catalogue=catalogue, fit=_reworked(problem, bench, catalogue.reworks[name]))
    if name not in _FITTED:
        return problem_of(problem.case, catalogue, problem.fit)
    return problem_of(problem.case, catalogue)


_FITTED = ("acrylic_mm", "tooth_mm", "support_diameter_mm", "thin_base", "scans")
"""Defaults that verdicts hang on."""

_JUDGED = ("needs", "stack")
"""Fields of an attachment that verdicts hang on."""


def _refitted(problem: Problem, bench: Bench, attachment: Attachment) -> Fit:
    """The fit with the candidates of one attachment judged and priced again."""

    def again(found: SiteFit) -> SiteFit:
        if found.site.kind not in attachment.at:
            return found
        others = [candidate for candidate in found.every if candidate.attachment.id != attachment.id]
        return _with(found, [*others, *bench.variants(found.site, attachment)])

    return _each_site(problem, again)


def _reworked(problem: Problem, bench: Bench, rework: Rework) -> Fit:
    """The fit with all judged again where a step can be done or goes with an attachment."""

    def again(found: SiteFit) -> SiteFit:
        tried = any(step.id == rework.id for candidate in found.every for step in candidate.reworks)
        return bench.fit_site(found.site) if tried or found.site.kind in rework.at else found

    return _each_site(problem, again)


def _swapped(problem: Problem, *, attachment: Attachment | None = None, rework: Rework | None = None) -> Fit:
    """The fit with one entry in place of its namesake, where no verdict hangs on the difference."""

    def again(candidate: Candidate) -> Candidate:
        part = attachment if attachment and candidate.attachment.id == attachment.id else candidate.attachment
        steps = tuple(rework if rework and step.id == rework.id else step for step in candidate.reworks)
        if part is candidate.attachment and steps == candidate.reworks:
            return candidate
        cost = candidate_cost(part, candidate.count, steps, problem.purse)
        return replace(candidate, attachment=part, reworks=steps, cost=cost)

    def of_site(found: SiteFit) -> SiteFit:
        if attachment and found.site.kind not in attachment.at:
            return found
        return replace(found, usable=tuple(map(again, found.usable)), rejected=tuple(map(again, found.rejected)))

    return _each_site(problem, of_site)


def _each_site(problem: Problem, again: Callable[[SiteFit], SiteFit]) -> Fit:
    return Fit(tuple(again(found) for found in problem.fit.sites))


def _with(found: SiteFit, candidates: Iterable[Candidate]) -> SiteFit:
    every = sorted(candidates, key=lambda candidate: candidate.key)
    usable = tuple(c for c in every if c.verdict is not Verdict.FAILS)
    return SiteFit(found.site, usable, tuple(c for c in every if c.verdict is Verdict.FAILS), found.bare)


def _limits(problem: Problem) -> Look:
    """What binds a mix as a whole."""
    charges = tuple(sorted((name, cost.high) for name, cost in problem.charges.items()))
    return problem.rules, charges, problem.settling_mm, problem.catalogue.defaults.play


def _look(problem: Problem, c: Candidate, *, over_years: bool) -> Look:
    """All that a choice looks at in a candidate."""
    upkeep = problem.upkeep_of(c).high if over_years else 0
    moves = tuple(getattr(c.attachment.movement, name) for name in Movement.model_fields if name != "source")
    cost = (c.cost.high, upkeep, c.charges)
    return c.key, c.verdict, c.questions, c.waived, c.permissions, cost, c.low_n, c.high_n, moves


def _replaced(option: Option, problem: Problem) -> bool:
    """True where an option of the case as it is can stand for it in every mix."""
    return any(other.site == option.site and replaces(other, option) for other in problem.options)
