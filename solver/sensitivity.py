"""Which weak figures of the catalogue a choice hangs on: each is set to both ends of its band, the case decided anew.

One figure at a time, exactly. A plan stands while no mix is better than it (of its equals it is as good as any) and
it fits on the same terms. Most figures are settled without a search of their own: where they change nothing that the
choice looks at, where all that they change is replaced by what was there before, and where not even all changes of
one entry together, each free to be taken or left, bring a better mix.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from catalogue.blocks import SourceKind
from solver.choose import Options
from solver.mechanics import Mechanics
from solver.plan import Answer, Plan, Status, verified_plan
from solver.problem import Problem
from solver.stand import Incumbent, Undecided
from solver.weak_change import Change, changes_of
from solver.weak_figures import WeakFigure, weak_figures


@dataclass(frozen=True, slots=True)
class Turn:
    """A figure at the end of its band where the choice turns."""

    figure: WeakFigure
    value: float


@dataclass(frozen=True, slots=True)
class Flip:
    """Another choice, and every figure that alone leads to it, with the cheapest of the plans that they lead to.

    `plan` is None where nothing fits at all then.
    """

    problem: Problem
    status: Status
    plan: Plan | None
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What the choice hangs on; `figures` were varied, and `solved` searches made for it.

    Not `complete` where the time ran out: what is not named may then still turn the choice.
    """

    flips: tuple[Flip, ...]
    figures: int
    solved: int
    complete: bool

    def hangs_on(self, *kinds: SourceKind) -> tuple[WeakFigure, ...]:
        """The figures with sources of these kinds that turn the choice, each once."""
        turning = (turn.figure for flip in self.flips for turn in flip.turns)
        return tuple(dict.fromkeys(figure for figure in turning if figure.kind in kinds))


def sensitivity(found: Answer, how: Options = Options()) -> Sensitivity:  # noqa: B008 - frozen
    """Vary every weak figure that bears on the case; `how.time_limit_s` holds for all of it together."""
    if found.status is Status.UNDECIDED:
        return Sensitivity((), 0, 0, complete=False)
    figures = tuple(_bearing(found.problem, over_years=found.least == "years"))
    incumbent = Incumbent(found, time.monotonic() + how.time_limit_s)
    turned: list[Flip] = []
    complete = True
    try:
        changes = changes_of(found, figures)
        for _, entry in groupby(changes, key=lambda change: change.figure.path[:2]):
            turned += _turning(incumbent, tuple(entry))
    except Undecided:
        complete = False
    return Sensitivity(_grouped(turned), len(figures), incumbent.solved, complete)


def _turning(incumbent: Incumbent, changes: Sequence[Change]) -> Iterator[Flip]:
    """Those that turn the choice: a set that does not together is not looked into."""
    for change in changes:
        if not change.only_adds:
            yield from _tried(incumbent, change)
    yield from _hunted(incumbent, [change for change in changes if change.only_adds])


def _hunted(incumbent: Incumbent, changes: Sequence[Change]) -> Iterator[Flip]:
    if len(changes) == 1:
        yield from _tried(incumbent, changes[0])
    elif changes and not incumbent.stands_beside([option for change in changes for option in change.fresh]):
        half = len(changes) // 2
        yield from _hunted(incumbent, changes[:half])
        yield from _hunted(incumbent, changes[half:])


def _tried(incumbent: Incumbent, change: Change) -> Iterator[Flip]:
    """The flip that a change makes, its plan derived a second time; nothing where the choice stands."""
    problem, found = change.problem, incumbent.instead(change.problem)
    if found is not None:
        status, best = found
        plan = verified_plan(problem, Mechanics(problem), best) if best else None
        yield Flip(problem, status, plan, (Turn(change.figure, change.value),))


def _bearing(problem: Problem, *, over_years: bool) -> Iterator[WeakFigure]:
    """Figures of what could go on a site that the case has, and of the defaults."""
    kinds = {site.site.kind for site in problem.fit.sites}
    catalogue = problem.catalogue
    for figure in weak_figures(catalogue, over_years=over_years):
        group, name = str(figure.path[0]), str(figure.path[1])
        if group == "defaults" or kinds & set(getattr(catalogue, group)[name].at):
            yield figure


def _grouped(turned: Sequence[Flip]) -> tuple[Flip, ...]:
    """One flip for each choice that is led to, at the least that it costs then."""
    flips: dict[object, Flip] = {}
    for flip in turned:
        mix = tuple(candidate.key for candidate in flip.plan.mix) if flip.plan else ()
        given_up = tuple(entry.rule.code for entry in flip.plan.given_up) if flip.plan else ()
        known = flips.get((flip.status, mix, given_up))
        turns = (*known.turns, *flip.turns) if known else flip.turns
        cheaper = flip if known is None or _cost(flip) < _cost(known) else known
        flips[flip.status, mix, given_up] = replace(cheaper, turns=turns)
    return tuple(flips.values())


def _cost(flip: Flip) -> int:
    return flip.plan.cost.high if flip.plan else 0
