"""Loads worked out a second time, from motion instead of force, by other arithmetic, to set against regrip's.

regrip makes the complementary energy of forces least in one quadratic programme, with a bar of exact beam elements
that is condensed to its parts beforehand. Here the unknowns are motions: six of the base and three of every node of
the bar, which is a chain of short stiff links with springs for bending, twist and (very stiff) shear between them.
Mucosa is a denser bed of one-sided springs with weights of its own, parts are one-sided springs that give way at
what they hold. The potential energy is convex with a continuous slope; damped Newton steps find its least value.

Shared with regrip: places, base outline and the sections of the bar, which other referees look at.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from catalogue.models import Attachment, Play
from solver.case.base import Base
from solver.fit.candidate import Candidate

Array = NDArray[np.float64]

STATIONS = 49
LINKS = 10
"""Links of a run between two places of a bar."""
SHEAR_TIMES = 1e3
"""How many times stiffer in shear than in bending a link is; it stands for no shear at all."""


@dataclass
class Springs:
    """One-sided springs in all unknowns: row, gap, stiffness and the most that each holds."""

    rows: list[Array] = field(default_factory=list)
    gaps: list[float] = field(default_factory=list)
    stiffness: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)

    def add(self, row: Array, gap: float, stiffness: float, most: float = np.inf) -> None:
        """One more, unless it never closes."""
        if np.isfinite(gap):
            self.rows.append(row)
            self.gaps.append(gap)
            self.stiffness.append(stiffness)
            self.most.append(most)


@dataclass(frozen=True)
class Run:
    """A straight bar: its name, both ends seen from above, stiffness in bending and twist, modulus and collars."""

    name: str
    start: Array
    stop: Array
    bending: float
    twist: float
    modulus: float
    collars: tuple[float, float]


@dataclass(frozen=True)
class Supports:
    """Places by name; N/mm along the axis of each, N mm against turning."""

    at: Mapping[str, Array]
    axial: float
    turn: Mapping[str, float]


class ByMotion:
    """One mix on one bar and bed."""

    def __init__(
        self, base: Base, up: float, supports: Supports, runs: Sequence[Run], mix: Sequence[Candidate], play: Play
    ) -> None:
        self.up, self.supports, self.base = up, supports, base
        self.nodes: list[Array] = []
        self.numbers: dict[tuple[float, float], int] = {}
        for at in supports.at.values():
            self._number(np.array(at[:2]))
        self.links: list[tuple[Run, int, int, bool]] = []
        self.ends: list[tuple[str, list[int]]] = []
        self.parts = [(c, at) for c in mix for at in _spots(c)]
        for run in runs:
            self._chain(run)
        self.play = play
        self.seats = list(dict.fromkeys(self._seat(c, at) for c, at in self.parts))
        self.unknowns = 6 + 3 * len(self.seats)
        seated = [3 * node + k for node in self.seats for k in range(3)]
        self.moved = np.linalg.solve(self._bar(), np.eye(3 * len(self.nodes))[:, seated])
        self.stiff = np.zeros((self.unknowns, self.unknowns))
        self.stiff[6:, 6:] = np.linalg.inv(self.moved[seated]) if seated else 0.0

    def _chain(self, run: Run) -> None:
        """Links between supports, collars, parts and the tip."""
        along = run.stop[:2] - run.start[:2]
        length = float(np.linalg.norm(along))
        along = along / length
        stops = {0.0, length, min(run.collars[0], length), max(length - run.collars[1], 0.0)}
        own = (float((at[:2] - run.start[:2]) @ along) for c, at in self.parts if c.site.id == run.name)
        places = sorted(stops | {min(max(at, 0.0), length) for at in own})
        places = [at for n, at in enumerate(places) if not n or at - places[n - 1] > 0.05]
        for one, other in itertools.pairwise(places):
            stiff = not run.collars[0] <= (one + other) / 2 <= length - run.collars[1]
            spots = [run.start[:2] + s * along for s in np.linspace(one, other, LINKS + 1)]
            numbers = [self._number(spot) for spot in spots]
            self.links += [(run, a, b, stiff) for a, b in itertools.pairwise(numbers)]
            if not stiff:
                self.ends.append((run.name, numbers))

    def _number(self, at: Array) -> int:
        key = round(float(at[0]), 5) + 0.0, round(float(at[1]), 5) + 0.0
        if key not in self.numbers:
            self.numbers[key] = len(self.nodes)
            self.nodes.append(at)
        return self.numbers[key]

    def _bar(self) -> Array:
        """Stiffness of supports and links, three unknowns a node."""
        count = 3 * len(self.nodes)
        total = np.zeros((count, count))
        for number, name in enumerate(self.supports.at):
            at = 3 * number
            total[at, at] += self.supports.axial
            total[at + 1, at + 1] += self.supports.turn[name]
            total[at + 2, at + 2] += self.supports.turn[name]
        for run, a, b, stiff in self.links:
            along = self.nodes[b] - self.nodes[a]
            h = float(np.linalg.norm(along))
            x, y = along / h
            times = 1000.0 if stiff else 1.0
            # height and both turns of one node, then of the other
            slope = np.array([0.0, -y, x, 0.0, y, -x])
            twist = np.array([0.0, -x, -y, 0.0, x, y])
            shear = np.array([-1.0, -h / 2 * y, h / 2 * x, 1.0, -h / 2 * y, h / 2 * x])
            own = times * run.bending / h * np.outer(slope, slope) + times * run.twist / h * np.outer(twist, twist)
            own += SHEAR_TIMES * run.bending / h**3 * np.outer(shear, shear)
            at_both = [3 * a, 3 * a + 1, 3 * a + 2, 3 * b, 3 * b + 1, 3 * b + 2]
            total[np.ix_(at_both, at_both)] += own
        return total

    def _sinks(self, at: Array) -> Array:
        """How far a point of the base goes down; unknowns of the base: turn about x, y, z, then shift along them."""
        row = np.zeros(self.unknowns)
        row[:6] = -self.up * np.array([at[1], -at[0], 0.0, 0.0, 0.0, 1.0])
        return row

    def _bed(self, springs: Springs, stiffness: float) -> None:
        ridge, border = np.array(self.base.ridge), np.array(self.base.border)
        run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(ridge, axis=0), axis=1))])
        where = (np.arange(STATIONS) + 0.5) / STATIONS * run[-1]
        for s in where:
            on, out = (np.array([np.interp(s, run, line[:, k]) for k in range(3)]) for line in (ridge, border))
            for at, share in ((out, 1 / 6), (on, 2 / 3), (2 * on - out, 1 / 6)):
                springs.add(self._sinks(at), 0.0, share / STATIONS * stiffness)

    def _part(self, springs: Springs, number: int, stiffness: float, holds: float) -> None:
        candidate, at = self.parts[number]
        frame, attachment = candidate.site.frame, candidate.attachment
        seat = 6 + 3 * self.seats.index(self._seat(candidate, at))
        for axis, (down, up), kind in _freedoms(attachment, self.play):
            vector = np.array([frame.a, frame.l, frame.v][axis])
            row = np.zeros(self.unknowns)
            if kind == "go":
                row[:3], row[3:6] = np.cross(at, vector), vector
                row[seat] -= vector[2]
                springs.add(row, up, stiffness, holds if axis == 2 else np.inf)
                springs.add(-row, down, stiffness)
            else:
                row[:3] = vector
                row[seat + 1 : seat + 3] -= vector[:2]
                # a turn counts at 10 mm from its axis
                tips = holds * (attachment.length_mm or 0.0) / 2 / 10 if axis == 1 else np.inf
                springs.add(10 * row, 10 * up, stiffness, tips)
                springs.add(-10 * row, 10 * down, stiffness, tips)
        half = (attachment.length_mm or 0.0) / 2
        sunk, tipped = np.zeros(self.unknowns), np.zeros(self.unknowns)
        v, across = np.array(frame.v), np.array(frame.l)
        sunk[:3], sunk[3:6], sunk[seat] = -np.cross(at, v), -v, v[2]
        tipped[:3], tipped[seat + 1 : seat + 3] = across, -across[:2]
        freedoms = {(kind, axis): span for axis, span, kind in _freedoms(attachment, self.play)}
        gap = freedoms["go", 2][0] + half * freedoms["turn", 1][1] if half else freedoms["go", 2][0]
        for sign in (1.0, -1.0):
            springs.add(sunk + sign * half * tipped, gap, stiffness)

    def _seat(self, candidate: Candidate, at: Array) -> int:
        """The node on which a part stands: of its own bar where two bars meet."""
        if candidate.site.kind == "support":
            return list(self.supports.at).index(candidate.site.id)
        own = {n for run, a, b, _ in self.links if run.name == candidate.site.id for n in (a, b)}
        return min(own, key=lambda n: float(np.hypot(*(self.nodes[n] - at[:2]))))

    def bear(
        self, presses: Sequence[tuple[float, float, float]], bed: float, part: float, holds: Sequence[float]
    ) -> tuple[float, dict[str, float], dict[str, float]]:
        """Share of the supports, force on each, and the greatest bending stress of every bar."""
        springs = Springs()
        self._bed(springs, bed)
        pressing = len(springs.gaps)
        for number, hold in enumerate(holds):
            self._part(springs, number, part, hold)
        rows, gaps = np.array(springs.rows), np.array(springs.gaps)
        stiffness, most = np.array(springs.stiffness), np.array(springs.most)
        pushed = sum((n * self._sinks(np.array([x, y, 0.0])) for x, y, n in presses), np.zeros(self.unknowns))
        z = _least(self.stiff, rows, gaps, stiffness, most, pushed)
        forces = np.minimum(stiffness * np.maximum(rows @ z - gaps, 0.0), most)
        mucosa = float(forces[:pressing].sum())
        nodes = self.moved @ (self.stiff[6:, 6:] @ z[6:])
        support = {
            name: -self.up * self.supports.axial * float(nodes[3 * n]) for n, name in enumerate(self.supports.at)
        }
        return 1 - mucosa / sum(n for _, _, n in presses), support, self._stress(nodes)

    def _stress(self, nodes: Array) -> dict[str, float]:
        """Moment at both ends of every run, carried on from its two outermost links."""
        worst: dict[str, float] = {}
        by_pair = {(a, b): run for run, a, b, _ in self.links}
        for name, numbers in self.ends:
            moments = []
            for a, b in itertools.pairwise(numbers):
                along = self.nodes[b] - self.nodes[a]
                h = float(np.linalg.norm(along))
                turn = nodes[3 * b + 1 : 3 * b + 3] - nodes[3 * a + 1 : 3 * a + 3]
                moments.append(by_pair[a, b].bending / h * float(turn @ np.array([along[1], -along[0]])) / h)
            ends = 1.5 * moments[0] - 0.5 * moments[1], 1.5 * moments[-1] - 0.5 * moments[-2]
            worst[name] = max(worst.get(name, 0.0), *(abs(m) / by_pair[numbers[0], numbers[1]].modulus for m in ends))
        return worst


def _spots(candidate: Candidate) -> Iterator[Array]:
    """Parts stand evenly about the middle of their site."""
    if candidate.attachment.kind == "bare":
        return
    apart = (candidate.attachment.length_mm or 0.0) + candidate.attachment.spacing_mm
    for n in range(candidate.count):
        yield np.array(candidate.site.at) + (n - (candidate.count - 1) / 2) * apart * np.array(candidate.site.frame.a)


def _freedoms(attachment: Attachment, play: Play) -> Iterator[tuple[int, tuple[float, float], str]]:
    """Axis, how far it goes against and along it (mm or radians), and whether it goes or turns."""
    moves = attachment.movement

    def mm(given: object) -> float:
        return np.inf if given == "free" else max(float(given or 0.0), play.mm)  # type: ignore[arg-type]

    def turn(given: object) -> float:
        return np.inf if given == "free" else float(np.radians(max(float(given or 0.0), play.deg)))  # type: ignore[arg-type]

    yield 0, (mm(moves.slide_mm), mm(moves.slide_mm)), "go"
    yield 1, (mm(moves.sideways_mm), mm(moves.sideways_mm)), "go"
    yield 2, (mm(moves.down_mm), mm(moves.up_mm)), "go"
    for axis, given in enumerate((moves.hinge_deg, moves.tip_deg, moves.turn_deg)):
        yield axis, (turn(given), turn(given)), "turn"


def _least(bar: Array, rows: Array, gaps: Array, stiffness: Array, most: Array, pushed: Array) -> Array:
    """Damped Newton on the potential energy: the step is held shorter the less the last one brought."""
    z = np.zeros(len(pushed))
    size = np.diag(bar) + (rows**2).T @ stiffness
    scale = np.diag(np.maximum(size, 1e-6 * size.max()))  # what nothing resists stays where it is
    held = 1e-6

    def energy(at: Array) -> float:
        closed = np.maximum(rows @ at - gaps, 0.0)
        force = np.minimum(stiffness * closed, most)
        return float(at @ bar @ at / 2 + np.sum(force * closed - force**2 / (2 * stiffness)) - pushed @ at)

    here = energy(z)
    for _ in range(3000):
        closed = rows @ z - gaps
        force = np.minimum(stiffness * np.maximum(closed, 0.0), most)
        slope = bar @ z + rows.T @ force - pushed
        if np.abs(slope).max() < 1e-6 * float(np.abs(pushed).max()):
            return z
        active = (closed > 0) & (stiffness * closed < most)
        curved = bar + held * scale + (rows[active] * stiffness[active, None]).T @ rows[active]
        step = -np.linalg.solve(curved, slope)
        there = energy(z + step)
        if there < here:
            z, here, held = z + step, there, max(held / 4, 1e-12)
        elif held > 1e6:
            return z  # as low as numbers of this machine tell
        else:
            held *= 3
    raise ArithmeticError(f"not at rest: {np.abs(slope).max():g} of {np.abs(pushed).max():g}")
