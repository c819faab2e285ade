"""The rules that only mechanics can check: a mix in, a reach per demand out, and a cut where it falls short."""

from __future__ import annotations

from collections.abc import Sequence

from solver.case import DEMANDS, DemandName
from solver.freedom import FreedomUse, Level, freedom_use, level_of
from solver.master import Cut
from solver.movement import REACH_TOLERANCE, Reach
from solver.placement import Placement
from solver.problem import Option, Problem
from solver.rules import Moves, Rule


class Mechanics:
    """Keeps the linear programmes of one case and what they have answered."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._model = problem.movement_model()
        self._known: dict[tuple[str, tuple[object, ...]], Reach] = {}

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
        key = (demand, tuple((p.place, p.least.tobytes(), p.most.tobytes()) for p in placements))
        if key not in self._known:
            self._known[key] = self._model.reach(placements, demand)
        return self._known[key]


def _parts(options: Sequence[Option]) -> list[Placement]:
    return [placement for option in options for placement in option.placements]


def movement_cut(rule: Moves, reach: Reach, sites: dict[str, list[int]], options: Sequence[Option]) -> Cut:
    """The LP's dual as a cut over every option of the sites it touches.

    Weak duality: any motion that a mix allows does at most `give` of work on each wrench, so the reach of the mix is
    at most the sum of the gives plus the constant.
    """
    worth = {site: {i: options[i].give(wrench) for i in sites[site]} for site, wrench in reach.wrench.items()}
    return Cut(rule, worth, reach.constant, rule.share - REACH_TOLERANCE)
