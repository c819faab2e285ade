"""The rules that only mechanics can check: a mix in, a reach per demand out, and a cut where it falls short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from solver.case import DEMANDS, PULLS, DemandName, PullName
from solver.freedom import FreedomUse, Level, freedom_use, level_of
from solver.layout import Layout, Vector
from solver.movement import ASKED, REACH_TOLERANCE, Reach
from solver.placement import Placement
from solver.problem import Option, Problem
from solver.pulls import PullHold, holds_against
from solver.rules import Moves, Pulls, Rule

HOLD_TOLERANCE_N = 1e-6
"""A pull missed by less is taken."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """A demand that is missed by these options together and by no fewer of them, with the duals that prove it."""

    rule: Moves
    options: tuple[Option, ...]
    reach: Reach


class Mechanics:
    """Keeps the linear programmes of one case and what they have answered."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._model = problem.movement_model()
        self._held: dict[tuple[PullName, tuple[str, ...]], PullHold] = {}
        self._known: dict[tuple[str, tuple[object, ...]], Reach] = {}

    def beside(self, problem: Problem) -> Mechanics:
        """Mechanics of the same bar with other figures or against another catalogue.

        What is known of its movements is shared where everything stands in the same place and sinks as far.
        """
        other = Mechanics(problem)
        alike = problem.case is self._problem.case or _same_places(problem, self._problem)
        if alike and problem.settling_mm == self._problem.settling_mm:
            other._model, other._known = self._model, self._known
        return other

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules of the case."""
        return self._problem.rules

    def reaches(self, options: Sequence[Option]) -> tuple[Reach, ...]:
        """The reach of every demand, asked for by the case or not."""
        placements = _parts(options)
        return tuple(self._reach(placements, demand) for demand in DEMANDS)

    def shortfalls(self, options: Sequence[Option], given_up: frozenset[Rule]) -> list[tuple[Moves, Reach]]:
        """The demands that a mix misses, with the duals that prove it."""
        placements = _parts(options)
        missed = []
        for rule in self._problem.rules:
            if isinstance(rule, Moves) and rule not in given_up:
                reach = self._reach(placements, rule.demand)
                if reach.reach < rule.share - REACH_TOLERANCE:
                    missed.append((rule, reach))
        return missed

    def conflicts(self, options: Sequence[Option], given_up: frozenset[Rule]) -> list[Conflict]:
        """For every demand that a mix misses, smallest parts of the mix that miss it already, no two sharing a site.

        The duals of a smallest part touch few sites, so the cuts made of them hold for many mixes. What follows from
        another demand is not asked: a mix that misses none of the others misses none.
        """
        return [
            Conflict(rule, small, self._reach(_parts(small), rule.demand))
            for rule in self._demands(given_up)
            for small in self._smallest(list(options), rule)
        ]

    def _demands(self, given_up: frozenset[Rule]) -> list[Moves]:
        """The demands in force, without those that follow from another: fewer points, asked to sink no deeper.

        A twist that sinks all points of the other by its share sinks these as well.
        """
        asked = [rule for rule in self.rules if isinstance(rule, Moves) and rule not in given_up]
        return [rule for rule in asked if not any(_follows(rule, other) for other in asked)]

    def pulls(self, options: Sequence[Option]) -> tuple[PullHold, ...]:
        """What every pull takes, asked for by the case or not."""
        return self._holds(options, PULLS)

    def weak_pulls(self, options: Sequence[Option], given_up: frozenset[Rule]) -> list[tuple[Pulls, PullHold]]:
        """The pulls that a mix does not take, with the lift fields that prove it."""
        rules = [r for r in self._problem.rules if isinstance(r, Pulls) and r not in given_up]
        found = zip(rules, self._holds(options, [rule.pull for rule in rules]), strict=True)
        return [(rule, hold) for rule, hold in found if hold.hold_n < rule.least_n - HOLD_TOLERANCE_N]

    def _holds(self, options: Sequence[Option], names: Sequence[PullName]) -> tuple[PullHold, ...]:
        mix = tuple(option.candidate.key for option in options)
        if unknown := [name for name in names if (name, mix) not in self._held]:
            for hold in holds_against(self._problem.layout, options, unknown):
                self._held[hold.name, mix] = hold
        return tuple(self._held[name, mix] for name in names)

    def _smallest(self, options: list[Option], rule: Moves) -> Iterator[tuple[Option, ...]]:
        """Take options away one at a time while the rest still misses the demand; then look in what was left out.

        A site that the duals do not name has no part in the proof: it goes without another solve. Nothing at all is
        not asked of: it lets every point of the base sink.
        """
        while options and (proof := self.proof(options, rule)):
            small = tuple(option for option in options if option.site in proof.wrenches)
            for option in small:
                rest = [other for other in small if other is not option]
                if rest and option in small and (proof := self.proof(rest, rule)):
                    small = tuple(other for other in rest if other.site in proof.wrenches)
            yield small
            options = [option for option in options if option not in small]

    def proof(self, options: Sequence[Option], rule: Moves) -> Reach | None:
        """The reach of these options where it misses the demand."""
        reach = self._reach(_parts(options), rule.demand)
        return reach if reach.reach < rule.share - REACH_TOLERANCE else None

    def binds_alone(self, option: Option) -> tuple[Moves, Reach] | None:
        """The first demand that an option misses with nothing else fitted; no mix can then use it."""
        missed = self.shortfalls([option], frozenset())
        return missed[0] if missed else None

    def level(self, options: Sequence[Option]) -> Level:
        """The movement that a mix leaves, on the published scale."""
        layout = self._problem.layout
        sinks_mm = self._problem.settling_mm
        return level_of(self._model, _parts(options), layout.base, layout.out, sinks_mm, self.reaches(options))

    def freedoms(self, options: Sequence[Option]) -> tuple[FreedomUse, ...]:
        """How much of the freedom of each part the rest of the mix leaves."""
        return freedom_use(self._model, _parts(options), self._problem.catalogue.defaults.play)

    def _reach(self, placements: Sequence[Placement], demand: DemandName) -> Reach:
        key = (demand, tuple((part.place, part.manner) for part in placements))
        if key not in self._known:
            self._known[key] = self._model.reach(placements, demand)
        return self._known[key]


def _same_places(one: Problem, other: Problem) -> bool:
    bars = [[segment.between for segment in problem.case.segments.values()] for problem in (one, other)]
    ours, theirs = (_points(problem.layout) for problem in (one, other))
    same = ours.keys() == theirs.keys() and all(np.array_equal(ours[name], theirs[name]) for name in ours)
    return same and bars[0] == bars[1]


def _points(layout: Layout) -> dict[tuple[str, str], Vector]:
    base = {name: getattr(layout.base, name) for name in ("left", "right", "front")}
    groups = {"base": base, "supports": layout.supports, "ends": layout.ends, "way": {"out": layout.out}}
    return {(group, name): at for group, points in groups.items() for name, at in points.items()}


def _follows(rule: Moves, other: Moves) -> bool:
    return set(ASKED[rule.demand]) < set(ASKED[other.demand]) and rule.share <= other.share


def _parts(options: Sequence[Option]) -> list[Placement]:
    return [placement for option in options for placement in option.placements]
