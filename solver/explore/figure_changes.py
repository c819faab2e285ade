"""What a figure at one end of its band changes of all that a choice looks at; changes of nothing are left out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import starmap
from typing import TypeAlias

from catalogue.blocks import Movement
from catalogue.models import Attachment, Rework
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of, with_rules
from solver.case.rules import Alike
from solver.choose.dominance import Replacement
from solver.choose.plan import Answer
from solver.explore.weak_figures import WeakFigure, with_figure
from solver.fit.bench import Bench, Fit, SiteFit
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.fit.pricing import candidate_cost, rework_cost
from solver.mechanics.option import Option

Look: TypeAlias = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A case against the catalogue with one figure changed.

    `fresh` are the options that are not there otherwise, `gone` the keys of those that are no longer there as they
    were; `everywhere` where what binds a mix as a whole is changed. Where no option of the plan is gone, `fresh` is
    without those that an option there replaces: only what is left can be better than the plan.
    """

    figure: WeakFigure
    value: float
    problem: Problem
    fresh: tuple[Option, ...]
    gone: frozenset[str]
    everywhere: bool


def changes_of(found: Answer, figures: Iterable[WeakFigure]) -> Iterator[Change]:
    """Every change that could make a plan worse or another better."""
    problem, over_years = found.problem, found.least == "years"
    look_of = {c.key: _look(problem, c, over_years=over_years) for c in problem.fit.usable}
    mirrored = frozenset(problem.mirrors)
    planned = {candidate.key for candidate in found.best.mix} if found.best else set()
    limits = _limits(problem, mirrored)
    stands_for = Replacement(problem, Mechanics(problem), problem.options)
    bench = Bench(problem.case, problem.catalogue, problem.purse)
    for found_at in problem.fit.sites:
        bench.fit_site(found_at.site)
    for figure in figures:
        for value in figure.ends:
            if _judged_alike(bench, figure, value):
                continue
            changed = changed_problem(problem, figure, value, bench)
            everywhere = _limits(changed, mirrored) != limits
            gone_at, fresh_at = _exchanged(problem.fit, changed.fit)
            anew = {c.key: c for c in fresh_at if _look(changed, c, over_years=over_years) != look_of.get(c.key)}
            gone = frozenset(gone_at - {c.key for c in fresh_at} | (gone_at & anew.keys()))
            fresh = tuple(map(changed.option, anew.values()))
            if not gone & planned and not everywhere:
                gone = frozenset()
                if not over_years:  # what replaces an option may still wear sooner
                    fresh = tuple(option for option in fresh if not _replaced(option, problem, stands_for))
            if fresh or gone or everywhere:
                yield Change(figure, value, changed, fresh, gone, everywhere)


def _exchanged(before: Fit, after: Fit) -> tuple[set[str], list[Candidate]]:
    """The keys of the usable candidates that are no longer the same, and those that are new."""
    gone, anew = set[str](), list[Candidate]()
    for old, new in zip(before.sites, after.sites, strict=True):
        if new is not old:
            ours, theirs = {id(c) for c in old.usable}, {id(c) for c in new.usable}
            gone |= {c.key for c in old.usable if id(c) not in theirs}
            anew += (c for c in new.usable if id(c) not in ours)
    return gone, anew


def _judged_alike(bench: Bench, figure: WeakFigure, value: float) -> bool:
    """True where a figure is one of a need or of a stack, and the change makes no difference to any verdict."""
    group, name, of, *_ = figure.path
    if of not in _JUDGED:
        return False
    entry = getattr(bench.catalogue, str(group))[name]
    changed = getattr(with_figure(bench.catalogue, figure.path, value), str(group))[name]
    if of == "stack":
        return bench.judged_alike(bench.room_for(entry.stack), bench.room_for(changed.stack))
    return all(starmap(bench.judged_alike, zip(entry.needs, changed.needs, strict=True)))


def changed_problem(problem: Problem, figure: WeakFigure, value: float, bench: Bench) -> Problem:
    """The case against the catalogue with one figure changed; only what can differ is worked out again.

    `bench` is one for the case against the catalogue as it is.
    """
    catalogue = with_figure(problem.catalogue, figure.path, value)
    group, name, of = str(figure.path[0]), str(figure.path[1]), figure.path[2]
    if group == "attachments" and of in _JUDGED:
        return with_rules(
            replace(problem, catalogue=catalogue, fit=_refitted(problem, bench, catalogue.attachments[name]))
        )
    if group == "attachments":
        attachment = catalogue.attachments[name]
        return replace(problem, catalogue=catalogue, fit=_swapped(problem, attachment=attachment))
    if group == "reworks" and of in ("price", "work"):
        rework = catalogue.reworks[name]
        charges = problem.charges | ({name: rework_cost(rework, problem.purse)} if rework.once else {})
        return replace(problem, catalogue=catalogue, fit=_swapped(problem, rework=rework), charges=charges)
    if group == "reworks":
        anew = Bench(problem.case, catalogue, problem.purse)
        return with_rules(
            replace(problem, catalogue=catalogue, fit=_reworked(problem, bench, anew, catalogue.reworks[name]))
        )
    if name not in _FITTED:
        return problem_of(problem.case, catalogue, problem.fit)
    return problem_of(problem.case, catalogue)


_FITTED = ("acrylic_mm", "tooth_mm", "support_diameter_mm", "thin_base", "scans", "grinding")
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


def _reworked(problem: Problem, bench: Bench, anew: Bench, rework: Rework) -> Fit:
    """The fit with the candidates judged anew of every attachment that a step goes with or was tried for."""
    attachments = anew.catalogue.attachments.values()

    def again(found: SiteFit) -> SiteFit:
        parts = [part for part in attachments if bench.has_tried(found.site, part, rework)]
        if not parts:
            return found
        names = {part.id for part in parts}
        others = [candidate for candidate in found.every if candidate.attachment.id not in names]
        return _with(found, [*others, *(c for part in parts for c in anew.variants(found.site, part))])

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


def _limits(problem: Problem, mirrored: Collection[str]) -> Look:
    """What binds a mix as a whole; what one of two mirror sites can take binds what is alike on the other."""
    charges = tuple(sorted((name, cost.high) for name, cost in problem.charges.items()))
    rules = problem.rules, problem.stopgap, problem.preferences
    takes: tuple[frozenset[Look], ...] = ()
    if any(isinstance(rule, Alike) for rule in problem.preferences):
        sites = (found for found in problem.fit.sites if found.site.id in mirrored)
        takes = tuple(frozenset((c.label, c.waived, c.permissions) for c in found.usable) for found in sites)
    return rules, charges, problem.settling_mm, problem.catalogue.defaults.play, takes


def _look(problem: Problem, c: Candidate, *, over_years: bool) -> Look:
    """All that a choice looks at in a candidate."""
    upkeep = problem.upkeep_of(c).high if over_years else 0
    moves = tuple(getattr(c.attachment.movement, name) for name in Movement.model_fields if name != "source")
    cost = (c.cost.high, upkeep, c.charges)
    short = tuple(problem.option(c).short_percent.items()) if c.waived else ()
    return c.key, c.verdict, c.questions, c.waived, short, c.permissions, cost, c.low_n, c.high_n, moves


def _replaced(option: Option, problem: Problem, stands_for: Replacement) -> bool:
    """True where an option of the case as it is can stand for it in every mix."""
    return any(stands_for(other, option) for other in problem.options_at(option.site))
