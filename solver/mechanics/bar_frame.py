"""A piece of bar on its supports as a frame of straight beams: how far it gives under its parts, and what that does.

Seen from above; every place has three unknowns, how far it lies above its rest along z and its turns about x and y
(a grillage). Supports give along their axis and in turn, the bar bends and twists, its collars hardly do. What a part
puts on the bar is a load of three numbers: force along z and the moments about x and y at its own place. All of it is
linear in these, so a frame is worked out once and is three matrices afterwards.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]

COLLAR_TIMES = 1000.0
"""How many times stiffer than its bar a collar is taken to be."""

_LEAST_MM = 0.05
"""Places closer than this along a bar are one."""


class Rod(NamedTuple):
    """Stiffness of a bar in bending and in twist, N mm2, and the modulus of its section, mm3."""

    bending_nmm2: float
    twist_nmm2: float
    modulus_mm3: float


class Stretch(NamedTuple):
    """A straight run of bar `name` between two points seen from above; `collars_mm` is stiff from either end on."""

    name: str
    start: Array
    stop: Array
    rod: Rod
    collars_mm: tuple[float, float]


class Spring(NamedTuple):
    """What a support resists: N/mm along its axis, N mm in turn about any axis across it."""

    axial_n_per_mm: float
    turn_nmm: float


@dataclass(frozen=True, slots=True, eq=False)
class BarFrame:
    """A frame as it answers loads (3k,) on its k parts.

    `gives` (3k, 3k): what the places of the parts move. `support_n` (s, 3k): force against z on each support.
    `stress_mpa` (m, 3k) with `where` (m,): bending at both ends of every run between two places, by the name of its
    bar; signs stand for the side.
    """

    supports: tuple[str, ...]
    gives: Array
    support_n: Array
    stress_mpa: Array
    where: tuple[str, ...]

    @classmethod
    def of(
        cls,
        supports: Mapping[str, Array],
        springs: Mapping[str, Spring],
        stretches: Sequence[Stretch],
        parts: Sequence[tuple[str, Array]],
    ) -> BarFrame:
        """The frame of stretches on supports, with parts on stretches or supports by name, each at its place."""
        nodes: list[Array] = [at[:2] for at in supports.values()]
        runs: list[tuple[Stretch, int, int, bool]] = []
        seats = [-1] * len(parts)
        for number, (name, _) in enumerate(parts):
            if name in supports:
                seats[number] = list(supports).index(name)
        for stretch in stretches:
            runs += _cut(stretch, nodes, parts, seats)
        stiffness = np.zeros((3 * len(nodes), 3 * len(nodes)))
        held = [springs[name] for name in supports]
        for support, (axial_n_per_mm, turn_nmm) in enumerate(held):
            at = slice(3 * support, 3 * support + 3)
            stiffness[at, at] += np.diag([axial_n_per_mm, turn_nmm, turn_nmm])
        elements = [_Run.of(stretch, nodes, one, other, stiff) for stretch, one, other, stiff in runs]
        for element in elements:
            stiffness[np.ix_(element.unknowns, element.unknowns)] += element.stiffness
        loaded: Index = np.array([3 * seat + unknown for seat in seats for unknown in range(3)], dtype=int)
        moved: Array = np.asarray(np.linalg.solve(stiffness, np.eye(len(stiffness))[:, loaded]))
        bent = [element for element in elements if not element.stiff]
        at_parts: Array = moved[loaded]
        axial = np.array([spring.axial_n_per_mm for spring in held])
        pressed: Array = -axial[:, None] * moved[0 : 3 * len(supports) : 3]
        stress: Array = np.vstack([np.zeros((0, len(loaded))), *(element.stress(moved) for element in bent)])
        return cls(
            tuple(supports),
            (at_parts + at_parts.T) / 2,
            pressed,
            stress,
            tuple(element.name for element in bent for _ in range(2)),
        )


def _cut(
    stretch: Stretch, nodes: list[Array], parts: Sequence[tuple[str, Array]], seats: list[int]
) -> list[tuple[Stretch, int, int, bool]]:
    """Runs of a stretch between supports, collars, parts and its tip; adds places to `nodes` and seats to `seats`."""
    along = stretch.stop[:2] - stretch.start[:2]
    length_mm = max(float(np.linalg.norm(along)), _LEAST_MM)
    along = along / length_mm if np.any(along) else np.array([1.0, 0.0])
    first, last = min(stretch.collars_mm[0], length_mm), max(length_mm - stretch.collars_mm[1], 0.0)
    own = {
        number: min(max(float((at[:2] - stretch.start[:2]) @ along), 0.0), length_mm)
        for number, (name, at) in enumerate(parts)
        if name == stretch.name
    }
    places: list[float] = []
    for at_mm in sorted((0.0, first, last, length_mm, *own.values())):
        if not places or at_mm - places[-1] > _LEAST_MM:
            places.append(at_mm)
    numbers = [_node(stretch.start[:2] + at_mm * along, nodes) for at_mm in places]
    for number, at_mm in own.items():
        seats[number] = numbers[int(np.argmin([abs(place - at_mm) for place in places]))]
    middles = [(one + other) / 2 for one, other in itertools.pairwise(places)]
    return [
        (stretch, one, other, not first <= middle <= last)
        for one, other, middle in zip(numbers, numbers[1:], middles, strict=False)
    ]


def _node(at: Array, nodes: list[Array]) -> int:
    for number, node in enumerate(nodes):
        if float(np.linalg.norm(node - at)) <= _LEAST_MM:
            return number
    nodes.append(at)
    return len(nodes) - 1


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """A beam element: bending in the vertical plane and twist (any textbook of matrix structural analysis)."""

    name: str
    stiff: bool
    unknowns: Index
    stiffness: Array
    bending: Array
    """(2, 6): bending moment at both ends from the unknowns of both."""
    modulus_mm3: float

    @classmethod
    def of(cls, stretch: Stretch, nodes: Sequence[Array], one: int, other: int, stiff: bool) -> _Run:
        along = nodes[other] - nodes[one]
        length = float(np.linalg.norm(along))
        x, y = along / length
        times = COLLAR_TIMES if stiff else 1.0
        ei, gj = times * stretch.rod.bending_nmm2, times * stretch.rod.twist_nmm2
        # height, slope and twist at one end from its height and turns: slope along the run is (turn x run) . z
        local = np.array([[1.0, 0.0, 0.0], [0.0, y, -x], [0.0, x, y]])
        turn = np.zeros((6, 6))
        turn[:3, :3] = turn[3:, 3:] = local
        own = np.zeros((6, 6))
        rows = [0, 1, 3, 4]
        own[np.ix_(rows, rows)] = (
            ei
            / length**3
            * np.array(
                [
                    [12.0, 6 * length, -12.0, 6 * length],
                    [6 * length, 4 * length**2, -6 * length, 2 * length**2],
                    [-12.0, -6 * length, 12.0, -6 * length],
                    [6 * length, 2 * length**2, -6 * length, 4 * length**2],
                ]
            )
        )
        own[np.ix_([2, 5], [2, 5])] = gj / length * np.array([[1.0, -1.0], [-1.0, 1.0]])
        unknowns = np.array([3 * one, 3 * one + 1, 3 * one + 2, 3 * other, 3 * other + 1, 3 * other + 2])
        bending = (own @ turn)[[1, 4]]
        return cls(stretch.name, stiff, unknowns, turn.T @ own @ turn, bending, stretch.rod.modulus_mm3)

    def stress(self, moved: Array) -> Array:
        """Stress at both ends for every column of displacements, MPa."""
        found: Array = self.bending @ moved[self.unknowns] / self.modulus_mm3
        return found


def rod(second_moment_mm4: float, area_mm2: float, modulus_mm3: float, modulus_mpa: float) -> Rod:
    """A bar of one section and alloy.

    Twist by Saint-Venant's estimate for compact sections, A^4 / 40 Ip (memory), with Ip taken as twice the second
    moment in bending, and a Poisson's ratio of 0.3.
    """
    twist_mm4 = area_mm2**4 / (80.0 * second_moment_mm4)
    return Rod(modulus_mpa * second_moment_mm4, modulus_mpa / 2.6 * twist_mm4, modulus_mm3)
