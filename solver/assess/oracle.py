"""The rules that only mechanics can check: a mix in, a reach per demand out, and a cut where it falls short."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from solver.assess.problem import Problem
from solver.case.layout import Layout, Vector
from solver.case.retention import Condition
from solver.case.rule_set import FLOORS
from solver.case.rules import Moves, NoFight, Rule
from solver.case.schema import DEMANDS, PULLS, DemandName, PullName
from solver.mechanics.freedom import FreedomUse, Level, freedom_use, level_of
from solver.mechanics.movement import ASKED, Reach, meets
from solver.mechanics.option import Option
from solver.mechanics.placement import Placement
from solver.mechanics.pulls import PullHold, holds_against
from solver.mechanics.verdicts import DemandVerdict, Kind, Part, PartName, kind_of, verdict_of

EDGES: tuple[PullName, ...] = ("front", "left", "right")
"""The edges that a hand can reach to peel a denture off."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """A demand that is missed by these options together and by no fewer of them, with the duals that prove it."""

    rule: Moves
    options: tuple[Option, ...]
    reach: Reach


@dataclass(frozen=True, slots=True)
class Wedge:
    """Givers that miss `share` of a demand in kind together, and no fewer of them, with the duals that prove it."""

    demand: DemandName
    share: float
    options: tuple[Option, ...]
    reach: Reach


class Mechanics:
    """Keeps the linear programmes of one case and what they have answered."""

    def __init__(self, problem: Problem) -> None:
        self._problem, self._share = problem, problem.catalogue.defaults.preferences.in_kind.value
        self._model = problem.movement_model()
        self._held: dict[tuple[PullName, tuple[object, ...]], PullHold] = {}
        self._known: dict[tuple[str, tuple[object, ...]], Reach] = {}
        self._kinds: dict[tuple[DemandName, tuple[Placement, ...]], Kind] = {}

    def beside(self, problem: Problem) -> Mechanics:
        """Mechanics of the same bar with other figures or against another catalogue.

        What is known of its movements is shared where everything stands in the same place and sinks as far, all that
        is known where only the rules differ.
        """
        other = Mechanics(problem)
        if problem.case is self._problem.case and problem.catalogue is self._problem.catalogue:
            other._held, other._kinds = self._held, self._kinds
        alike = problem.case is self._problem.case or _same_places(problem, self._problem)
        if alike and problem.settling_mm == self._problem.settling_mm:
            other._model, other._known = self._model, self._known
        return other

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules of the case."""
        return self._problem.rules

    def reaches(self, options: Sequence[Option]) -> tuple[Reach, ...]:
        """The reach of every demand, asked for by the case or not; upward travel has no end."""
        placements = _parts(options)
        return tuple(self._reach(placements, demand) for demand in DEMANDS)

    def conflicts(self, options: Sequence[Option], rules: Sequence[Rule]) -> list[Conflict]:
        """For every demand of these rules that a mix misses, the smallest parts of it that miss it.

        The duals of a smallest part touch few sites, so the cuts made of them hold for many mixes. What follows from
        another demand is not asked: a mix that misses none of the others misses none.
        """
        return [
            Conflict(rule, small, self._reach(_parts(small), rule.demand))
            for rule in _demands(rules)
            for small in self._smallest(list(options), partial(self.proof, rule=rule))
        ]

    def verdicts(self, options: Sequence[Option]) -> tuple[DemandVerdict, ...]:
        """How a mix moves under every demand, asked for by the case or not."""
        parts = [
            Part(PartName(option.site, option.candidate.label, number), placement)
            for option in options
            for number, placement in enumerate(option.placements)
        ]
        return tuple(verdict_of(parts, demand, self._reach, self._share) for demand in DEMANDS)

    def kind_of(self, option: Option, demand: DemandName) -> Kind:
        """What an option does in a demand, judged in kind with nothing else fitted."""
        key = demand, option.placements
        if key not in self._kinds:
            self._kinds[key] = kind_of(option.in_kind, demand, self._reach, self._share)
        return self._kinds[key]

    def wedges(self, options: Sequence[Option], demand: DemandName) -> list[Wedge]:
        """Smallest sets of the givers among these options that miss the demand in kind, no two sharing a site.

        What stops, and what fights itself, fights every giver already: see `kind_of`.
        """
        givers = [option for option in options if self.kind_of(option, demand) is Kind.GIVER]
        missed = partial(self._missed_in_kind, demand=demand)
        return [
            Wedge(demand, self._share, small, self._reach(_parts_in_kind(small), demand))
            for small in self._smallest(givers, missed)
        ]

    def _missed_in_kind(self, options: Sequence[Option], demand: DemandName) -> Reach | None:
        reach = self._reach(_parts_in_kind(options), demand)
        return None if meets(reach.reach, self._share) else reach

    def pulls(self, options: Sequence[Option]) -> tuple[PullHold, ...]:
        """What every pull takes as fitted, at the low end of every retention, asked for or not."""
        return self._holds(options, PULLS, Condition.NEW)

    def floors(self, options: Sequence[Option]) -> tuple[PullHold, ...]:
        """The pulls that a tier asks of, as fitted."""
        return self._holds(options, FLOORS, Condition.NEW)

    def peels(self, options: Sequence[Option]) -> tuple[PullHold, ...]:
        """What it takes to lift each edge that a hand can reach, at the high end of every retention."""
        return self._holds(options, EDGES, Condition.TIGHT)

    def peel(self, options: Sequence[Option]) -> PullHold:
        """The easiest edge."""
        return min(self.peels(options), key=lambda pull: round(pull.hold_n, 6))

    def pull(self, options: Sequence[Option], name: PullName, condition: Condition) -> PullHold:
        """What one pull takes with every part in that condition."""
        return self._holds(options, [name], condition)[0]

    def _holds(
        self, options: Sequence[Option], names: Sequence[PullName], condition: Condition
    ) -> tuple[PullHold, ...]:
        mix = (condition, *(option.candidate.key for option in options))
        if unknown := [name for name in names if (name, mix) not in self._held]:

            def retention(option: Option) -> float:
                return self._problem.retention_n(option.candidate, condition)

            for hold in holds_against(self._problem.layout, options, unknown, retention):
                self._held[hold.name, mix] = hold
        return tuple(self._held[name, mix] for name in names)

    def _smallest(
        self, options: list[Option], missed: Callable[[Sequence[Option]], Reach | None]
    ) -> Iterator[tuple[Option, ...]]:
        """Take options away one at a time while the rest still misses a demand; then look in what was left out.

        A site that the duals do not name has no part in the proof: it goes without another solve. Nothing at all is
        not asked of: it lets every point of the base sink.
        """
        while options and (proof := missed(options)):
            small = _named(options, proof)
            for option in small:
                rest = [other for other in small if other is not option]
                if rest and option in small and (proof := missed(rest)):
                    small = _named(rest, proof)
            yield small
            options = [option for option in options if option not in small]

    def proof(self, options: Sequence[Option], rule: Moves) -> Reach | None:
        """The reach of these options where it misses the demand."""
        reach = self._reach(_parts(options), rule.demand)
        return None if meets(reach.reach, rule.share) else reach

    def binds_alone(
        self, option: Option, rules: Sequence[Rule] | None = None
    ) -> tuple[Moves | NoFight, Reach] | None:
        """The first demand that an option misses with nothing else fitted; no mix can then use it.

        It moves less than the case asks, or its own parts fight.
        """
        for rule in self._problem.rules if rules is None else rules:
            if isinstance(rule, Moves) and (reach := self.proof([option], rule)):
                return rule, reach
            if isinstance(rule, NoFight) and self.kind_of(option, rule.demand) is Kind.FIGHTS_ITSELF:
                return rule, self._reach(_parts_in_kind([option]), rule.demand)
        return None

    def fights(self, options: Sequence[Option], demand: DemandName) -> bool:
        """True where parts fight in a demand: some stop what others give, or givers wedge each other."""
        kinds = {self.kind_of(option, demand) for option in options}
        if Kind.FIGHTS_ITSELF in kinds or kinds >= {Kind.GIVER, Kind.STOPPER}:
            return True
        return Kind.GIVER in kinds and self._missed_in_kind(options, demand) is not None

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


def _named(options: Sequence[Option], proof: Reach) -> tuple[Option, ...]:
    """The options that a proof names; all where its duals are too small to name any, so that a search ends."""
    return tuple(option for option in options if option.site in proof.wrenches) or tuple(options)


def _demands(rules: Sequence[Rule]) -> list[Moves]:
    """The demands without those that follow from another: fewer points, asked to sink no deeper.

    A twist that sinks all points of the other by its share sinks these as well.
    """
    asked = [rule for rule in rules if isinstance(rule, Moves)]
    return [rule for rule in asked if not any(_follows(rule, other) for other in asked)]


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


def _parts_in_kind(options: Sequence[Option]) -> list[Placement]:
    return [placement for option in options for placement in option.in_kind]
