"""What mechanics holds against a mix, as cuts over all options: of one conflict many, wherever it repeats."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from solver.case import DemandName
from solver.mechanics import HOLD_TOLERANCE_N, Conflict, Mechanics, Wedge
from solver.movement import REACH_TOLERANCE, Reach
from solver.movement_verdict import Kind
from solver.placement import Placement
from solver.problem import Option
from solver.pulls import PullHold, lift_worth
from solver.rules import Pulls, Rule
from solver.worth import SiteWorth

log = logging.getLogger(__name__)

CUT_SCALE = 1_000_000
"""Cuts are rounded to this grain, always to the side that cuts off nothing that is feasible."""


@dataclass(frozen=True)
class Cut:
    """Sum over the touched sites of the picked option's worth, plus `constant`, is at least `least`.

    A site in `worth` where nothing is picked makes the cut slack when `empty_is_slack`, else it counts nothing.
    `together` are options proved to fail: rounding may leave them on the edge of the sum. With `exactly` that is
    proved of this mix only, not of larger ones.
    """

    rule: Rule
    worth: Mapping[str, Mapping[int, float]]
    constant: float
    least: float
    empty_is_slack: bool = True
    together: tuple[int, ...] = ()
    exactly: bool = False

    @property
    def least_grains(self) -> int:
        """What the worths must sum to."""
        return math.floor((self.least - self.constant) * CUT_SCALE)

    @property
    def most_grains(self) -> int:
        """Worth of what makes the cut slack."""
        return math.ceil((self.least - self.constant) * CUT_SCALE)

    def grains(self, site: str, index: int) -> int:
        """Worth of an option, no more than what makes the cut slack."""
        return math.ceil(min(self.worth[site][index], self.least - self.constant) * CUT_SCALE)

    @property
    def alone(self) -> frozenset[int]:
        """Options that break the rule whatever stands elsewhere."""
        if len(self.worth) != 1 or not self.empty_is_slack:
            return frozenset()
        (here,), below = self.worth.values(), self.least_grains - 1
        return frozenset(i for i, worth in here.items() if worth * CUT_SCALE <= below).union(self.together)


class Cutter:
    """Makes cuts over a fixed list of options."""

    def __init__(self, options: Sequence[Option], mechanics: Mechanics) -> None:
        self._options, self._mechanics = options, mechanics
        self._at: dict[str, list[int]] = {}
        self._kinds: dict[str, dict[tuple[Placement, ...], Option]] = {}
        for index, option in enumerate(options):
            self._at.setdefault(option.site, []).append(index)
            self._kinds.setdefault(option.site, {}).setdefault(option.placements, option)
        self._index = {id(option): index for index, option in enumerate(options)}
        self._worth: dict[tuple[str, DemandName | None], SiteWorth] = {}
        self._spread: set[tuple[Rule, bytes]] = set()

    def against(self, conflicts: Iterable[Conflict]) -> Iterator[Cut]:
        """A cut for each conflict, and for those like it at other sites."""
        for conflict in conflicts:
            for each in (conflict, *self._alike(conflict)):
                yield self._cut(each.rule, each.options, each.reach, each.rule.share)

    def against_wedges(self, rule: Rule, wedges: Iterable[Wedge]) -> Iterator[Cut]:
        """A cut for each wedge over all givers; where anything else stands at a site that it touches it is slack."""
        for wedge in wedges:
            yield self._cut(rule, wedge.options, wedge.reach, wedge.share, in_kind=wedge.demand)

    def against_pull(self, rule: Pulls, hold: PullHold, picked: Sequence[int]) -> Cut:
        """The lift field of a pull that is not taken: more must hold where the denture would lift."""
        log.debug("%s: %.2f N", rule.code, hold.hold_n)
        worth = {
            site: {i: lift_worth(hold.pull.lift, self._options[i]) for i in ids} for site, ids in self._at.items()
        }
        least = rule.least_n - HOLD_TOLERANCE_N
        return Cut(rule, worth, 0.0, least, empty_is_slack=False, together=tuple(picked), exactly=True)

    def _cut(
        self, rule: Rule, options: Sequence[Option], reach: Reach, share: float, in_kind: DemandName | None = None
    ) -> Cut:
        """The LP's dual as a cut over every option of the sites it touches (weak duality)."""
        log.debug("%s: reach %.4f, cut over %s", rule.code, reach.reach, ", ".join(reach.wrenches))
        worth = {
            site: dict(zip(self._at[site], self._worths(site, in_kind).under(wrenches).tolist(), strict=True))
            for site, wrenches in reach.wrenches.items()
        }
        together = tuple(self._index[id(option)] for option in options)
        return Cut(rule, worth, reach.constant, share - REACH_TOLERANCE, together=together)

    def _worths(self, site: str, in_kind: DemandName | None) -> SiteWorth:
        """What stands at a site, as it is or `in_kind` under a demand."""
        if (site, in_kind) not in self._worth:
            options = [self._options[i] for i in self._at[site]]
            self._worth[site, in_kind] = SiteWorth([self._parts(option, in_kind) for option in options])
        return self._worth[site, in_kind]

    def _parts(self, option: Option, in_kind: DemandName | None) -> tuple[Placement, ...]:
        """In kind, only givers: stoppers may stand together however little they move, so they are worth anything."""
        if in_kind is None:
            return option.placements
        return option.in_kind if self._mechanics.kind_of(option, in_kind) is Kind.GIVER else ()

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
