"""Which weak figures of the catalogue a choice hangs on: each is set to both ends of its band, the case decided anew.

One figure at a time, exactly. A plan stands while no mix is better than it (of its equals it is as good as any) and
it fits on the same terms. Most figures are settled without a search of their own: where they change nothing that the
choice looks at, where all that they change is replaced by what was there before, and where one search over all the
rest at once (see `hunt`) finds no better mix.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalogue.blocks import SourceKind
from solver.assess.assessment import Assessment, Status
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.choose.plan import Answer, verified
from solver.choose.search import Options
from solver.explore.figure_changes import Change, changes_of
from solver.explore.incumbent import Incumbent, Rank, Undecided
from solver.explore.rival_search import hunted
from solver.explore.weak_figures import WeakFigure, weak_figures

ENOUGH_S = 10.0
"""Time that a plan may take for this unasked; most cases take less than a second (our own choice)."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A figure at the end of its band where the choice turns."""

    figure: WeakFigure
    value: float


@dataclass(frozen=True, slots=True)
class Flip:
    """Another choice, and every figure that alone leads to it, with the least that it costs under any of them.

    `instead` is None where nothing fits at all then.
    """

    status: Status
    instead: Assessment | None
    turns: tuple[Turn, ...]

    @property
    def at_best(self) -> bool:
        """True where the cost is the least of several, each under another figure."""
        return self.instead is not None and len(self.turns) > 1


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
    turned: list[_Turned] = []
    complete = True
    try:
        for change in _turning(incumbent, tuple(changes_of(found, figures))):
            if other := incumbent.instead(change.problem):
                turned.append(_Turned(change, *other))
    except Undecided:
        complete = False
    place = {figure.path: number for number, figure in enumerate(figures)}
    turned.sort(key=lambda other: (place[other.change.figure.path], other.change.value))
    return Sensitivity(tuple(_flips(incumbent, turned)), len(figures), incumbent.solved, complete)


@dataclass(frozen=True, slots=True)
class _Turned:
    """A change under which the choice is another."""

    change: Change
    status: Status
    best: Assessment | None

    @property
    def choice(self) -> object:
        """What is chosen, whatever it costs."""
        best = self.best
        return self.status, best and (best.keys, [each.rule.code for each in best.given_up])

    @property
    def cost(self) -> Cost:
        """What the mix costs under the change."""
        return self.best.cost if self.best else Cost()


def _turning(incumbent: Incumbent, changes: Sequence[Change]) -> Iterator[Change]:
    """Those that may turn the choice."""
    alone = {id(change) for change in changes if not _keeps_terms(incumbent, change)}
    yield from (change for change in changes if id(change) in alone)
    yield from hunted(incumbent, [change for change in changes if id(change) not in alone])


def _keeps_terms(incumbent: Incumbent, change: Change) -> bool:
    """True where the rules are as they were, and the plan is still there, on the terms that it was chosen on."""
    if change.everywhere:
        return False
    if not change.gone or incumbent.rank is None:
        return True
    rank = incumbent.rank_in(change.problem)
    return rank is not None and _terms(rank) == _terms(incumbent.rank)


def _terms(rank: Rank) -> tuple[int, bool]:
    """What is given up, and whether anything must be asked first."""
    given_up, _, questions, _ = rank
    return given_up, questions > 0


def _bearing(problem: Problem, *, over_years: bool) -> Iterator[WeakFigure]:
    """Figures of what could go on a site that the case has, and of the defaults."""
    kinds = {site.site.kind for site in problem.fit.sites}
    catalogue = problem.catalogue
    for figure in weak_figures(catalogue, over_years=over_years):
        group, name = str(figure.path[0]), str(figure.path[1])
        if group == "defaults" or kinds & set(getattr(catalogue, group)[name].at):
            yield figure


def _flips(incumbent: Incumbent, turned: Sequence[_Turned]) -> Iterator[Flip]:
    """One flip for each choice that is led to, derived a second time where it costs least."""
    while turned:
        alike = [other for other in turned if other.choice == turned[0].choice]
        turned = [other for other in turned if other.choice != turned[0].choice]
        least = min(alike, key=lambda other: other.cost.high)
        instead = verified(least.best) if least.best else None
        yield Flip(least.status, instead, tuple(Turn(t.change.figure, t.change.value) for t in alike))
