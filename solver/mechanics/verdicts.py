"""Four verdicts on how a mix moves under a demand: whether its parts agree, judged in kind, and then by amount.

Three reaches decide: with the parts as they are, with every freedom without end (in kind), and in kind for each part
alone. In all of them parts may go up without end. Definition and proofs: docs/mechanics.md.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple, TypeAlias

import numpy as np

from solver.case.schema import DemandName
from solver.mechanics.movement import Reach, Stop, meets
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Component, Placement


class MovementVerdict(Enum):
    """How a mix moves under a demand; the value is its name in answers for machines."""

    MOVES = "moves"
    BOTTOMS = "bottoms"
    STANDS = "stands"
    FIGHTS = "fights"


class Kind(Enum):
    """What an option does in a demand, judged in kind with nothing else fitted.

    IDLE has no part. FIGHTS_ITSELF: one of its parts alone gives, all together do not.
    """

    IDLE = "idle"
    GIVER = "giver"
    STOPPER = "stopper"
    FIGHTS_ITSELF = "fights itself"


@dataclass(frozen=True, slots=True)
class PartName:
    """A part of a mix: its site, the label of the candidate, and its number along the site, from 0."""

    site: str
    label: str
    number: int


class Part(NamedTuple):
    """A part in its place."""

    name: PartName
    placement: Placement


@dataclass(frozen=True, slots=True)
class End:
    """What ends a motion that began: a component of a part and how far it goes, mm or deg.

    `play`: it is no freedom of the part, only the small play that is left where nothing is free.
    """

    part: PartName
    component: Component
    sign: int
    limit: float
    unit: str
    play: bool


@dataclass(frozen=True, slots=True)
class Fight:
    """Why parts fight: `stops` holds fast the local `component` (of its own axes) in which `gives` would move.

    `among` are the fewest parts that fight already, in the order of the mix; `proof` shows that they do.
    """

    stops: PartName
    gives: PartName
    component: Component
    sign: int
    among: tuple[PartName, ...]
    proof: Reach


@dataclass(frozen=True, slots=True)
class DemandVerdict:
    """The verdict on a mix under one demand, with the motions and duals that show it.

    `alone` has the reach in kind of each part by itself, in the order of the mix, where the verdict hangs on it
    (STANDS, FIGHTS). `end` is there where it BOTTOMS, `fight` where it FIGHTS. `share` is the threshold in kind.
    """

    demand: DemandName
    verdict: MovementVerdict
    share: float
    actual: Reach
    by_kind: Reach
    alone: tuple[Reach, ...] = ()
    end: End | None = None
    fight: Fight | None = None

    @property
    def reach(self) -> float:
        """Share of the settling that the parts allow as they are."""
        return self.actual.reach

    @property
    def in_kind(self) -> float:
        """Share of the settling that they allow in kind."""
        return self.by_kind.reach

    @property
    def pair(self) -> tuple[PartName, PartName] | None:
        """The two parts that fight: the one that stops, the one that gives."""
        return (self.fight.stops, self.fight.gives) if self.fight else None

    @property
    def component(self) -> Component | None:
        """The local direction in which one of the pair gives and the other stops."""
        return self.fight.component if self.fight else None


Solve: TypeAlias = Callable[[Sequence[Placement], DemandName], Reach]
"""The movement programme."""


def verdict_of(parts: Sequence[Part], demand: DemandName, solve: Solve, share: float) -> DemandVerdict:
    """The verdict on the parts of a mix under a demand; `share` is the least reach in kind at which they give."""
    actual = solve([part.placement.actual for part in parts], demand)
    if meets(actual.reach, 1.0):
        # Freer parts allow the same motion, and more than all of the settling there is not.
        return DemandVerdict(demand, MovementVerdict.MOVES, share, actual, actual)
    by_kind = solve([part.placement.in_kind for part in parts], demand)
    if meets(by_kind.reach, share):
        end = _end(parts, actual)
        return DemandVerdict(demand, MovementVerdict.BOTTOMS, share, actual, by_kind, end=end)
    alone = tuple(solve([part.placement.in_kind], demand) for part in parts)
    if not any(meets(each.reach, share) for each in alone):
        return DemandVerdict(demand, MovementVerdict.STANDS, share, actual, by_kind, alone)
    fight = _fight(parts, alone, demand, solve, share)
    return DemandVerdict(demand, MovementVerdict.FIGHTS, share, actual, by_kind, alone, fight=fight)


def kind_of(placements: Sequence[Placement], demand: DemandName, solve: Solve, share: float) -> Kind:
    """What parts given in kind do in a demand, with nothing else fitted; `share` as in `verdict_of`."""
    if not placements:
        return Kind.IDLE
    if meets(solve(placements, demand).reach, share):
        return Kind.GIVER
    if len(placements) > 1 and any(meets(solve([part], demand).reach, share) for part in placements):
        return Kind.FIGHTS_ITSELF
    return Kind.STOPPER


def _end(parts: Sequence[Part], actual: Reach) -> End:
    """The stop that costs most reach; a freedom that is used up comes before the play of what has none."""
    ends = [_as_end(parts[stop.part], stop) for stop in actual.stops]
    return min(ends, key=lambda end: end.play)


def _as_end(part: Part, stop: Stop) -> End:
    index = COMPONENTS.index(stop.component)
    own, kind = part.placement.actual, part.placement.in_kind
    limit, freed = (own.most, kind.most) if stop.sign > 0 else (own.least, kind.least)
    turn, far = index >= 3, abs(float(limit[index]))
    size, unit = (float(np.degrees(far / LENGTH_MM)), "deg") if turn else (far, "mm")
    return End(part.name, stop.component, stop.sign, size, unit, play=abs(float(freed[index])) < FREE)


def _fight(parts: Sequence[Part], alone: Sequence[Reach], demand: DemandName, solve: Solve, share: float) -> Fight:
    """The hardest stopper against the freest giver; among givers alone, the two that cost most in a wedge."""

    def proof_of(some: Sequence[int]) -> Reach:
        return solve([parts[i].placement.in_kind for i in some], demand)

    freest = sorted(range(len(parts)), key=lambda i: (-round(alone[i].reach, 9), i))
    givers = [i for i in freest if meets(alone[i].reach, share)]
    if len(givers) < len(parts):
        hard = min(set(freest) - set(givers), key=lambda i: (round(alone[i].reach, 9), i))
        small = sorted((hard, givers[0]))
        proof = proof_of(small)
        first = next(stop for stop in proof.stops if small[stop.part] == hard)
        pair = [hard, givers[0]]
    else:
        small = _smallest(len(parts), lambda some: meets(proof_of(some).reach, share))
        proof = proof_of(small)
        cost = {i: sum(stop.gain for stop in proof.stops if small[stop.part] == i) for i in small}
        costliest = sorted(small, key=lambda i: (-round(cost[i], 9), i))[:2]
        first = next(stop for stop in proof.stops if small[stop.part] in costliest)
        pair = sorted(costliest, key=lambda i: i != small[first.part])
    stops, gives = (parts[i].name for i in pair)
    return Fight(stops, gives, first.component, first.sign, tuple(parts[i].name for i in small), proof)


def _smallest(count: int, gives: Callable[[Sequence[int]], bool]) -> list[int]:
    """Numbers of parts that do not give together, of which any fewer do."""
    small = list(range(count))
    for part in range(count):
        rest = [other for other in small if other != part]
        if not gives(rest):
            small = rest
    return small
