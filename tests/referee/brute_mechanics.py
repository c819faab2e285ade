"""What brute force knows of mechanics: where things are, every way to tip a denture, whether parts are stuck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import radians
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, nnls

from catalogue.models import Attachment, Catalogue
from solver.case.schema import Case
from solver.handbook.teeth import DEFAULT_CURVES, Tooth

Array = NDArray[np.float64]

PULLED = ("centre", "left", "right", "front", "behind")
SINKING = {"whole": (0, 1, 2), "left": (0,), "right": (1,), "front": (2,)}


class Fitted(NamedTuple):
    """So many of one attachment at a site: where they stand seen from the crest, and the axes of the site."""

    site: str
    kind: str
    attachment: Attachment
    number: int
    at: Array
    axes: Array


class Body:
    """The denture, bar and supports of one tiny case."""

    def __init__(self, case: Case, catalogue: Catalogue) -> None:
        self.case, self.catalogue = case, catalogue
        self.out = np.array([0.0, 0.0, 1.0 if case.arch == "lower" else -1.0])
        self.supports = {name: np.array(s.at_mm) for name, s in case.supports.items()}
        self.sites = dict(self._sites())
        incisors = [self._on_arch(side * self._arc(1)) for side in (1, -1)]
        self.teeth = [self._on_arch(side * self._arc(6)) for side in (1, -1)] + [np.mean(incisors, axis=0)]
        heels = [self._on_arch(side * (self._arc(7) + 10)) for side in (1, -1)]
        outside = [self._on_arch(side * self._arc(place), 5.0) for place in (2, 4, 6) for side in (1, -1)]
        ends = [self._on_arch(side * (self._arc(7) + 10), 5.0) for side in (1, -1)]
        stumps = list(self.supports.values()) + [at for kind, at, _ in self.sites.values() if kind == "end"]
        self.contacts = np.array([*outside, self._on_arch(0.0, 5.0), *ends, *stumps])
        at = {"left": self.teeth[0], "right": self.teeth[1], "front": self.teeth[2]}
        at |= {"centre": np.mean(self.teeth, axis=0), "behind": np.mean(heels, axis=0)}
        self.fields = {name: self._fields(at[name]) for name in PULLED}

    # Where everything is

    def _arc(self, place: int) -> float:
        return abs(Tooth({"lower": 3, "upper": 2}[self.case.arch], place).arc_mm)

    def _on_arch(self, arc_mm: float, outside_mm: float = 0.0) -> Array:
        curve = DEFAULT_CURVES[self.case.arch]
        at, along = curve.at(arc_mm), curve.direction(arc_mm)
        return np.array([at.x_mm - outside_mm * along.y, at.y_mm + outside_mm * along.x, 0.0])

    def _sites(self) -> Iterator[tuple[str, tuple[str, Array, Array]]]:
        for name, segment in self.case.segments.items():
            one, two = (self.supports[end] for end in segment.between)
            yield name, ("segment", (one + two) / 2, two - one)
        for name, end in self.case.ends.items():
            bar = next(s for s in self.case.segments.values() if end.on in s.between)
            other = next(support for support in bar.between if support != end.on)
            along = self.supports[end.on] - self.supports[other]
            yield name, ("end", self.supports[end.on] + end.length_mm * along / np.linalg.norm(along), along)
        for name, at in self.supports.items():
            others = [there - at for other, there in self.supports.items() if other != name]
            yield name, ("support", at, min(others, key=lambda way: float(np.linalg.norm(way))))

    def options(self) -> dict[str, list[Fitted]]:
        """What can stand where."""
        found: dict[str, list[Fitted]] = {name: [] for name in self.sites}
        for name, (kind, at, along) in self.sites.items():
            a = along / np.linalg.norm(along)
            across = np.cross(self.out, a) / np.linalg.norm(np.cross(self.out, a))
            axes = np.array([a, across, np.cross(a, across)])
            for attachment in self.catalogue.attachments.values():
                for count in range(1, attachment.most + 1) if kind in attachment.at else ():
                    pitch = (attachment.length_mm or 0) + attachment.spacing_mm
                    spots = at + np.outer(np.arange(count) - (count - 1) / 2, a) * pitch
                    found[name].append(Fitted(name, kind, attachment, count, spots, axes))
        return found

    # Pulls

    def _fields(self, at: Array) -> Array:
        """Every lift, one at the pull and never below nought at a contact, that is nought at two points."""
        parts = [spot for here in self.options().values() for fitted in here for spot in fitted.at]
        points = np.unique(np.round(np.array([*self.contacts, *parts])[:, :2], 9), axis=0)
        found = []
        for one, two in combinations(points, 2):
            rows = np.array([[1.0, *one], [1.0, *two], [1.0, *at[:2]]])
            if abs(np.linalg.det(rows)) > 1e-6:
                lift = np.linalg.solve(rows, [0.0, 0.0, 1.0])
                if np.all(lift[0] + self.contacts[:, :2] @ lift[1:] >= -1e-9):
                    found.append(lift)
        return np.array(found)

    def lifted(self, name: str, spots: Array) -> Array:
        """By how much every lift raises every spot."""
        lifts = self.fields[name]
        return np.maximum(0.0, lifts[:, :1] + lifts[:, 1:] @ spots[:, :2].T)

    def pull_n(self, mix: Sequence[Fitted], name: str, condition: str) -> float:
        """The least that any lift costs."""
        if not mix:
            return 0.0
        held = np.concatenate([[self.holds_n(fitted.attachment, condition)] * fitted.number for fitted in mix])
        return float(np.min(self.lifted(name, np.concatenate([fitted.at for fitted in mix])) @ held))

    def holds_n(self, attachment: Attachment, condition: str) -> float:
        """What one part holds."""
        band, wear, service = attachment.retention_n, attachment.wear, attachment.service
        if condition != "worn" or wear is None:
            return band.high if condition == "tight" else band.low
        days = 365 * (service.months[0] / 12 if service else self.case.money.years)
        left: float = (1 - sum(wear.loss) / 2) ** (4 * days / wear.cycles)
        return min(band.low, (band.low + band.high) / 2 * left)

    def best_share(self, options: Sequence[Fitted]) -> float:
        """The value of a game: one spreads a unit of hold over the places, the other picks a side and a lift."""
        if not options:
            return 0.0
        spots = np.concatenate([fitted.at for fitted in options])
        payoff = np.concatenate([self.lifted(side, spots) for side in ("left", "right")])
        rows = np.hstack([-payoff, np.ones((len(payoff), 1))])
        spread = [[1.0] * len(spots) + [0.0]]
        cost = [0.0] * len(spots) + [-1.0]
        found = linprog(cost, A_ub=rows, b_ub=np.zeros(len(rows)), A_eq=spread, b_eq=[1.0])
        return float(-found.fun)

    # Movement in kind

    def gives(self, parts: Sequence[tuple[Array, Array, Attachment]], demand: str) -> bool:
        """Whether half the settling is left to these parts by kind: no sum of limits says that it is not."""
        settling, share = self.settling_mm, self.catalogue.defaults.preferences.in_kind.value
        rows, limits = [], []
        for number, tooth in enumerate(self.teeth):
            sinks = -np.concatenate([np.cross(tooth, self.out) / 10, self.out])
            rows.append(sinks)
            limits.append(settling)
            if number in SINKING[demand]:
                rows.append(-sinks)
                limits.append(-share * settling)
        for at, axes, attachment in parts:
            for row, most in self._stops(at, axes, attachment):
                rows.append(row)
                limits.append(most)
        proof = np.vstack([np.array(rows).T, limits])
        return bool(nnls(proof, np.array([0.0] * 6 + [-1.0]))[1] > 1e-6)

    def _stops(self, at: Array, axes: Array, attachment: Attachment) -> Iterator[tuple[Array, float]]:
        moves, play = attachment.movement, self.catalogue.defaults.play
        far, turned = play.mm, 10 * radians(play.deg)
        lengths, turns = list(np.hstack([np.cross(at, axes) / 10, axes])), np.hstack([axes, np.zeros((3, 3))])

        def free(given: object, small: float, scale: float = 1.0) -> bool:
            return given == "free" or float(given or 0) * scale > small + 1e-9  # type: ignore[arg-type]

        for row, given in zip(lengths, (moves.slide_mm, moves.sideways_mm, moves.down_mm), strict=True):
            if not free(given, far):
                yield -row, far
                if row is not lengths[2]:  # nothing but its hold keeps a part from going up
                    yield row, far
        for row, given in zip(turns, (moves.hinge_deg, moves.tip_deg, moves.turn_deg), strict=True):
            if not free(given, turned, 10 * radians(1)):
                yield row, turned
                yield -row, turned

    @property
    def settling_mm(self) -> float:
        """How far the mucosa lets the base sink, at most."""
        return float(self.case.denture.settling_mm.high)
