"""Makes cuts over a fixed list of options from what mechanics says of one mix."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from solver.assess.assessment import Assessment
from solver.assess.oracle import Conflict, Mechanics, Wedge
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.rule_set import FLOORS
from solver.case.rules import Even, NoFight, Peel, Pulls, Rule, Spread
from solver.case.schema import DemandName, PullName
from solver.choose.cut_bounds import SiteWorth
from solver.choose.cuts import AnyCut, CoverCut, Cut, LinearCut, MixCut
from solver.handbook.limits import WITHIN, stays_under
from solver.mechanics.hold import LiftField
from solver.mechanics.movement import REACH_TOLERANCE, Reach
from solver.mechanics.option import Option
from solver.mechanics.placement import Placement
from solver.mechanics.pulls import PullHold, lift_worth
from solver.mechanics.verdicts import Kind

log = logging.getLogger(__name__)

GRIPS_PER_N = 100
"""The least pull of a mix is counted in hundredths of a newton."""

GRIP_WITHIN_N = 1e-5
"""A pull that misses a hundredth by no more than this has it."""


def grip_of(mix: Assessment) -> int:
    """Return the least pull that a tier asks of, new, in whole hundredths of a newton."""
    return grips(mix.weakest.hold_n)


def grips(hold_n: float) -> int:
    """Return a pull in whole hundredths of a newton, rounded down."""
    return int((hold_n + GRIP_WITHIN_N) * GRIPS_PER_N)


def grip_cut(worth: Mapping[int, float]) -> LinearCut:
    """Return a cut: no least pull is above what the options are worth by a lift field of one of the pulls."""
    return LinearCut(None, worth, -GRIP_WITHIN_N, grip=True)


class Cutter:
    """Cuts of one problem over the options of one master."""

    def __init__(self, problem: Problem, options: Sequence[Option], mechanics: Mechanics) -> None:
        self._problem, self._options, self._mechanics = problem, options, mechanics
        self._at: dict[str, list[int]] = {}
        self._kinds: dict[str, dict[tuple[Placement, ...], Option]] = {}
        for index, option in enumerate(options):
            self._at.setdefault(option.site, []).append(index)
            self._kinds.setdefault(option.site, {}).setdefault(option.placements, option)
        self._index = {id(option): index for index, option in enumerate(options)}
        self._worth: dict[tuple[str, DemandName | None], SiteWorth] = {}
        self._spread: set[tuple[Rule, bytes]] = set()

    def against(
        self, mix: Assessment, rules: Iterable[Rule], over: Mapping[Rule, int], picked: Sequence[int]
    ) -> Iterator[AnyCut]:
        """Return the cuts for every rule that a mix misses.

        `over` are the rules that are given up by an amount, with what is paid for, per cent of the limit.
        """
        asked = list(rules)
        yield from self.of_conflicts(self._mechanics.conflicts(mix.options, asked))
        for rule in asked:
            match rule:
                case NoFight():
                    yield from self.of_wedges(rule, self._mechanics.wedges(mix.options, rule.demand))
                case Pulls() | Peel() | Spread() | Even():
                    if not rule.kept(mix) and mix.missed(rule).percent > over.get(rule, -1):
                        yield self._held_against(mix, rule)
                        yield MixCut(rule, tuple(picked), mix.missed(rule).percent)
                case _:
                    pass

    def _held_against(self, mix: Assessment, rule: Pulls | Peel | Spread | Even) -> LinearCut | CoverCut:
        match rule:
            case Pulls():
                return self._pull(mix, rule)
            case Peel():
                return self._peel(mix, rule)
            case Spread():
                return self._spread_cut(mix, rule)
            case Even():
                return self._even(mix, rule)

    def below_grip(self, mix: Assessment, grip: int, picked: Sequence[int]) -> Iterator[AnyCut]:
        """Return the lift fields of the pulls that do not take the least pull which is claimed of a mix."""
        if grip <= grip_of(mix):
            return
        yield MixCut(None, tuple(picked), grip=grip_of(mix))
        for name in FLOORS:
            hold = self._mechanics.pull(mix.options, name, Condition.NEW)
            if grips(hold.hold_n) < grip:
                yield grip_cut(self._lift_worth(hold, Condition.NEW))

    def of_conflicts(self, conflicts: Iterable[Conflict]) -> Iterator[Cut]:
        """Return a cut for each conflict, and for those like it at other sites."""
        for conflict in conflicts:
            yield self._cut(conflict)
            yield from map(self._cut, self._alike(conflict))

    def _pull(self, mix: Assessment, rule: Pulls) -> LinearCut:
        """The lift field of a pull that is not taken: more must hold where the denture would lift."""
        hold = self._mechanics.pull(mix.options, rule.pull, rule.condition)
        log.debug("%s: %.2f N", rule.code, hold.hold_n)
        worth = self._lift_worth(hold, rule.condition)
        return LinearCut(rule, worth, rule.least_n - WITHIN, slack_per_cent=rule.least_n / 100)

    def _peel(self, mix: Assessment, rule: Peel) -> CoverCut:
        """The forces that hold every edge down: whatever can give them holds as firmly."""
        covers: dict[str, tuple[int, ...]] = {}
        for site, asked in self._forces(mix, [*self._mechanics.peels(mix.options)]).items():
            covers[site] = tuple(
                i
                for i in self._at[site]
                if all(self._gives(i, option, force_n, Condition.TIGHT) for option, force_n in asked)
            )
        return CoverCut(rule, covers, mix.missed(rule).percent)

    def _spread_cut(self, mix: Assessment, rule: Spread) -> LinearCut:
        hold = min((self._side(mix, name) for name in ("left", "right")), key=lambda side: side.hold_n)
        worth = {
            i: each - rule.least(bar_off=self._options[i].candidate.takes_bar_off) * self._options[i].candidate.low_n
            for i, each in self._lift_worth(hold, Condition.NEW).items()
        }
        return LinearCut(rule, worth, -WITHIN)

    def _even(self, mix: Assessment, rule: Even) -> CoverCut:
        """While the stronger side can be held as now, the weaker must take its share of that."""
        weaker, stronger = sorted((self._side(mix, name) for name in ("left", "right")), key=lambda side: side.hold_n)
        covers = {
            site: tuple(
                i
                for i in self._at[site]
                if all(self._gives(i, option, force_n, Condition.NEW) for option, force_n in asked)
            )
            for site, asked in self._forces(mix, [stronger]).items()
        }
        worth = self._lift_worth(weaker, Condition.NEW)
        return CoverCut(rule, covers, 0, worth, rule.share * stronger.hold_n - WITHIN)

    def _side(self, mix: Assessment, name: PullName) -> PullHold:
        return self._mechanics.pull(mix.options, name, Condition.NEW)

    def _lift_worth(self, hold: PullHold, condition: Condition) -> dict[int, float]:
        lift: LiftField = hold.pull.lift
        retention: Callable[[Option], float] = lambda option: self._problem.retention_n(option.candidate, condition)  # noqa: E731
        return {i: lift_worth(lift, option, retention(option)) for i, option in enumerate(self._options)}

    def _forces(
        self, mix: Assessment, holds: Iterable[PullHold]
    ) -> dict[str, list[tuple[Option, tuple[float, ...]]]]:
        """What every site that holds must give, once for each pull: the option there and a force for each part, N."""
        asked: dict[str, list[tuple[Option, tuple[float, ...]]]] = {}
        for hold in holds:
            forces = iter(hold.pull.attachment_n)
            for option in mix.options:
                here = tuple(next(forces) for _ in option.placements)
                if any(force > WITHIN for force in here):
                    asked.setdefault(option.site, []).append((option, here))
        return asked

    def _gives(self, index: int, option: Option, forces_n: Sequence[float], condition: Condition) -> bool:
        """True where an option can give forces that were found on another at the same site."""
        other = self._options[index]
        each_n = self._problem.retention_n(other.candidate, condition)
        if other.places == option.places:
            return all(stays_under(force, each_n) for force in forces_n)
        # Parts stand evenly about the middle of a site, so equal forces on them pull at the middle.
        at_middle = len(forces_n) == 1 or max(forces_n) - min(forces_n) <= WITHIN
        return at_middle and stays_under(sum(forces_n), each_n * len(other.placements))

    def of_wedges(self, rule: NoFight, wedges: Iterable[Wedge]) -> Iterator[Cut]:
        """Return a cut for each wedge over all givers; slack where anything else stands at a site it touches."""
        for wedge in wedges:

            def parts(option: Option, demand: DemandName = wedge.demand) -> tuple[Placement, ...]:
                # A stopper may stand among stoppers however little it moves: as without parts, it is worth anything.
                giver = self._mechanics.kind_of(option, demand) is Kind.GIVER
                return option.in_kind if giver else ()

            yield self._bound(rule, wedge.options, wedge.reach, wedge.share, wedge.demand, parts)

    def _cut(self, conflict: Conflict) -> Cut:
        rule = conflict.rule
        return self._bound(rule, conflict.options, conflict.reach, rule.share, None, lambda option: option.placements)

    def _bound(
        self,
        rule: Rule,
        options: Sequence[Option],
        reach: Reach,
        share: float,
        kind: DemandName | None,
        parts: Callable[[Option], tuple[Placement, ...]],
    ) -> Cut:
        """The LP's dual as a cut over every option of the sites it touches (weak duality).

        `parts` gives the parts of an option as the LP took them; `kind` tells apart what is kept of their worths.
        """
        log.debug("%s: reach %.4f, cut over %s", rule.code, reach.reach, ", ".join(reach.wrenches))
        worth = {}
        for site, wrenches in reach.wrenches.items():
            if (site, kind) not in self._worth:
                self._worth[site, kind] = SiteWorth([parts(self._options[i]) for i in self._at[site]])
            under = self._worth[site, kind].under(wrenches).tolist()
            worth[site] = dict(zip(self._at[site], under, strict=True))
        together = tuple(self._index[id(option)] for option in options)
        return Cut(rule, worth, reach.constant, share - REACH_TOLERANCE, together=together)

    def _alike(self, conflict: Conflict) -> Iterator[Conflict]:
        """What binds alone at one site mostly does at others as well: ask there too, once for each way of moving."""
        if len(conflict.options) != 1:
            return
        (option,) = conflict.options
        if (conflict.rule, option.manner) in self._spread:
            return
        self._spread.add((conflict.rule, option.manner))
        for site, kinds in self._kinds.items():
            like = next((other for other in kinds.values() if other.manner == option.manner), None)
            if like and site != option.site and (reach := self._mechanics.proof([like], conflict.rule)):
                yield Conflict(conflict.rule, (like,), reach)
