"""Every verdict on movement derived a second time without an LP: motions and duals are checked, none is trusted.

A motion that keeps every limit shows that a reach is had, the wrenches of a dual that no more is (weak duality,
summed up from scratch); from reaches shown both ways the verdict follows by its definition. Limits are read from the
catalogue again. Duals bound motions within a metre and a hundred radians: what the mucosa leaves is far less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import inf, radians

import numpy as np
from numpy.typing import NDArray

from catalogue.blocks import Movement
from catalogue.models import Play
from solver.assess.problem import Problem
from solver.case.schema import DEMANDS
from solver.errors import InternalFault
from solver.fit.candidate import Candidate
from solver.mechanics.movement import ASKED, Reach
from solver.mechanics.verdicts import DemandVerdict, MovementVerdict, PartName

Array = NDArray[np.float64]

FAR = np.array([1e2] * 3 + [1e3] * 3)
"""Turns, rad, and displacements, mm, within which a dual bounds the reach."""

LENGTH_SLACK_MM = 1e-5
REACH_SLACK = 1e-5
"""An LP keeps its rows and duals to about 1e-7; lever arms are some fifty millimetres."""

TOLERANCE = 1e-6
"""A reach that misses a share by no more has it."""

BEYOND_PLAY = 1e-9
"""A freedom that passes the play by no more is none, mm or rad."""

POINTS = ("front", "left", "right")
NAMES = ("slide", "sideways", "vertical", "hinge", "tip", "turn")
"""Local components: along the bar, across it and out of it, then the turns about these."""

_TURN_SCALE_MM = np.array([10.0] * 3 + [1.0] * 3)
"""Duals are given on turns times ten millimetres."""


@dataclass(frozen=True, eq=False)
class _Fitted:
    """A part in its place: rows (6, 6) from a twist (w, t) to its local motion; how far each goes down and up."""

    name: PartName
    rows: Array
    down: Array
    up: Array
    kind_down: Array
    kind_up: Array

    def limits(self, in_kind: bool) -> tuple[Array, Array]:
        return (self.kind_down, self.kind_up) if in_kind else (self.down, self.up)


def check_verdicts(
    problem: Problem, mix: Sequence[Candidate], verdicts: Sequence[DemandVerdict], share: float
) -> None:
    """Raise `InternalFault` where a verdict on a mix does not follow from the case and the catalogue."""
    if tuple(verdict.demand for verdict in verdicts) != DEMANDS:
        raise InternalFault("a demand is without its verdict")
    if any(verdict.share != share for verdict in verdicts):
        raise InternalFault(f"a verdict is told by another share than {share:g}")
    checker = _Checker(problem, mix)
    for verdict in verdicts:
        checker.check(verdict)


class _Checker:
    def __init__(self, problem: Problem, mix: Sequence[Candidate]) -> None:
        play = problem.catalogue.defaults.play
        self._parts = [part for candidate in mix for part in _fitted(candidate, play)]
        base, out = problem.layout.base, problem.layout.out
        places = np.array([getattr(base, name) for name in POINTS])
        self._sinks = np.hstack([-np.cross(places, out), np.tile(-out, (3, 1))])
        self._settling_mm = problem.settling_mm

    def check(self, verdict: DemandVerdict) -> None:
        """The verdict follows by its definition from reaches that are shown both ways."""
        share, found = verdict.share, MovementVerdict.FIGHTS
        if self._shown(verdict.actual, verdict) >= 1.0 - TOLERANCE:
            found = MovementVerdict.MOVES
        elif self._shown(verdict.by_kind, verdict, self._parts) >= share - TOLERANCE:
            found = MovementVerdict.BOTTOMS
        else:
            if len(verdict.alone) != len(self._parts):
                raise InternalFault(f"a part is not judged alone under demand {verdict.demand}")
            alone = [
                self._shown(reach, verdict, [part]) for reach, part in zip(verdict.alone, self._parts, strict=True)
            ]
            if max(alone) < share - TOLERANCE:
                found = MovementVerdict.STANDS
        if found is not verdict.verdict:
            raise InternalFault(f"the mix {found.value} under demand {verdict.demand}, not {verdict.verdict.value}")
        if found is MovementVerdict.BOTTOMS:
            self._check_end(verdict)
        if found is MovementVerdict.FIGHTS:
            self._check_fight(verdict)

    def _check_end(self, verdict: DemandVerdict) -> None:
        """What ends the motion stands at its limit."""
        end = verdict.end
        part = next((part for part in self._parts if end is not None and part.name == end.part), None)
        if end is None or part is None:
            raise InternalFault(f"nothing ends the motion of demand {verdict.demand}")
        index = NAMES.index(end.component)
        limit = radians(end.limit) if end.unit == "deg" else end.limit
        own = (part.up if end.sign > 0 else part.down)[index]
        gone = float(part.rows[index] @ verdict.actual.twist)
        if abs(own - limit) > LENGTH_SLACK_MM or abs(gone - end.sign * limit) > LENGTH_SLACK_MM:
            raise InternalFault(f"{end.part.site} does not end the motion of demand {verdict.demand}")

    def _check_fight(self, verdict: DemandVerdict) -> None:
        """The parts that are said to fight do so without the others, and one of the two gives alone."""
        fight = verdict.fight
        if fight is None or not {fight.stops, fight.gives} <= set(fight.among) or fight.stops == fight.gives:
            raise InternalFault(f"no two parts are said to fight under demand {verdict.demand}")
        few = [part for part in self._parts if part.name in fight.among]
        alone = {part.name: reach.reach for part, reach in zip(self._parts, verdict.alone, strict=True)}
        enough = verdict.share - TOLERANCE
        if self._shown(fight.proof, verdict, few) >= enough or alone[fight.gives] < enough:
            raise InternalFault(f"{fight.stops.site} and {fight.gives.site} do not fight under {verdict.demand}")

    def _shown(self, reach: Reach, verdict: DemandVerdict, in_kind: Sequence[_Fitted] | None = None) -> float:
        """A reach, once its motion has it and its dual allows no more.

        Of all parts as they are, or of those given `in_kind`.
        """
        parts = self._parts if in_kind is None else in_kind
        if reach.demand != verdict.demand:
            raise InternalFault(f"a reach of demand {reach.demand} stands for {verdict.demand}")
        kind = in_kind is not None
        self._follow(reach, parts, kind)
        if self._bound(reach, parts, kind) > reach.reach + REACH_SLACK:
            raise InternalFault(f"the dual of demand {reach.demand} does not hold back its motion")
        return reach.reach

    def _follow(self, reach: Reach, parts: Sequence[_Fitted], in_kind: bool) -> None:
        """Every part can follow the motion, and the base sinks as far as it says."""
        for part in parts:
            down, up = part.limits(in_kind)
            local = part.rows @ reach.twist
            if np.any(local < -down - LENGTH_SLACK_MM) or np.any(local > up + LENGTH_SLACK_MM):
                raise InternalFault(f"{part.name.site} cannot follow the motion of demand {reach.demand}")
        for point, sinks in zip(POINTS, self._sinks @ reach.twist, strict=True):
            least = reach.reach * self._settling_mm if point in ASKED[reach.demand] else -inf
            if not least - LENGTH_SLACK_MM <= sinks <= self._settling_mm + LENGTH_SLACK_MM:
                raise InternalFault(f"the base at the {point} sinks {sinks:g} mm under demand {reach.demand}")

    def _bound(self, reach: Reach, parts: Sequence[_Fitted], in_kind: bool) -> float:
        """What the wrenches of a dual leave of the reach: the most of rho - W z over motions of the base, and of W z.

        With W = - sum of lambda_j s_j the first is rho + sum of lambda_j s_j, where a point that is asked sinks
        between rho h and h, and any other no deeper than h.
        """
        wrenches = list(_wrenches(reach, parts))
        work = sum(_most_work(part, wrench, in_kind) for part, wrench in zip(parts, wrenches, strict=True))
        left = np.sum(wrenches, axis=0) + reach.base @ self._sinks if parts else reach.base @ self._sinks
        asked = np.array([point in ASKED[reach.demand] for point in POINTS])
        pressed, lifted = np.maximum(reach.base, 0.0), np.minimum(reach.base, 0.0)
        slope = 1.0 + self._settling_mm * lifted[asked].sum()
        strays = -lifted[~asked].sum() * FAR[3] + np.abs(left) @ FAR
        return float(max(slope, 0.0) + self._settling_mm * pressed.sum() + work + strays)


def _fitted(candidate: Candidate, play: Play) -> Iterator[_Fitted]:
    attachment, site = candidate.attachment, candidate.site
    if attachment.kind == "bare":
        return
    a, across, v = site.frame.a, site.frame.l, site.frame.v
    pitch = (attachment.length_mm or 0.0) + attachment.spacing_mm
    down, up, small = _ways(attachment.movement, play)
    free_down, free_up = (np.where(way > small + BEYOND_PLAY, inf, way) for way in (down, up))
    for number in range(candidate.count):
        at = site.at + (number - (candidate.count - 1) / 2) * pitch * a
        shifts = [np.concatenate([np.cross(at, axis), axis]) for axis in (a, across, v)]
        turns = [np.concatenate([axis, np.zeros(3)]) for axis in (a, across, v)]
        name = PartName(site.id, candidate.label, number)
        yield _Fitted(name, np.array([*shifts, *turns]), down, _lifted(up), free_down, _lifted(free_up))


def _ways(movement: Movement, play: Play) -> tuple[Array, Array, Array]:
    """How far each component goes down and up, mm and rad, and the play."""
    small = np.array([play.mm] * 3 + [radians(play.deg)] * 3)
    turns = [movement.hinge_deg, movement.tip_deg, movement.turn_deg]

    def far(lengths: Sequence[float | str | None]) -> Array:
        mm = [inf if way == "free" else float(way or 0.0) for way in lengths]
        rad = [inf if way == "free" else radians(float(way or 0.0)) for way in turns]
        ways: Array = np.maximum(small, [*mm, *rad])
        return ways

    sides = [movement.slide_mm, movement.sideways_mm]
    return far([*sides, movement.down_mm]), far([*sides, movement.up_mm]), small


def _lifted(up: Array) -> Array:
    """Nothing stops a part from going up."""
    free = up.copy()
    free[NAMES.index("vertical")] = inf
    return free


def _wrenches(reach: Reach, parts: Sequence[_Fitted]) -> Iterator[Array]:
    """The wrench (m, f) on each part, reach per rad and per mm; none at a site that the dual does not name."""
    for site, here in groupby(parts, key=lambda part: part.name.site):
        count = len(list(here))
        own = reach.wrenches.get(site, (np.zeros(6),) * count)
        if len(own) != count:
            raise InternalFault(f"{len(own)} wrenches on {count} parts at {site}")
        yield from (wrench * _TURN_SCALE_MM for wrench in own)


def _most_work(part: _Fitted, wrench: Array, in_kind: bool) -> float:
    """The most work of a wrench on a part within its limits."""
    down, up = part.limits(in_kind)
    local = np.linalg.solve(part.rows.T, wrench)
    far = np.roll(FAR, 3)  # lengths come first in the local motion
    return float(np.maximum(-local * np.minimum(down, far), local * np.minimum(up, far)).sum())
