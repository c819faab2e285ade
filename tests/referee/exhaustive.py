"""The decision made a second time by other means: python-constraint enumerates, scipy's linprog judges the motion.

Nothing of solver is used beyond the models of case and catalogue and the positions of sites (`sites_of`, `Layout`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import inf

import numpy as np
from constraint import Problem as Enumeration
from scipy.optimize import linprog

from catalogue.models import Attachment, Need, Recall, Rework, Service
from solver.layout import Layout
from solver.measure import Measure
from solver.sites import Fact, Site, sites_of
from tests.referee.random_case import World


@dataclass(frozen=True)
class Piece:
    """One way to fill a site: what it costs, asks, holds, and how its parts may move."""

    site: Site
    attachment: Attachment
    count: int
    reworks: tuple[Rework, ...]
    asks: frozenset[tuple[str, str]]


@dataclass(frozen=True)
class Verdict:
    """Least cost (minor units), then fewest questions, then fewest parts; None where nothing fits."""

    best: tuple[int, int, int] | None
    tried: int


Mix = tuple[Piece, ...]


def decide(world: World, wanted: Callable[[Mix], bool] = lambda _: True, *, splint: bool = True) -> Verdict:
    """The optimum among the wanted mixes by trying every combination in order of cost.

    `splint`: a bar in the upper jaw stays on.
    """
    mixes = [mix for mix in _mixes_within_limits(world, splint=splint) if wanted(mix)]
    ranked = sorted((_rank(world, mix), index) for index, mix in enumerate(mixes))
    motion = _Motion(world)
    for tried, (rank, index) in enumerate(ranked, 1):
        if _takes_pulls(world, motion.layout, mixes[index]) and motion.free(mixes[index]):
            return Verdict(rank, tried)
    return Verdict(None, len(ranked))


def cost_hold_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of cost (minor units, high end) and hold (millinewtons, low end) of all mixes."""
    return [(cost, -less) for cost, less in _front(world, lambda mix: -_hold_mn(mix))]


def cost_years_front(world: World) -> list[tuple[int, int]]:
    """Every undominated pair of the cost of fitting and that over the years (minor units, high ends) of all mixes."""
    return _front(world, lambda mix: _years_high(world, mix))


def _front(world: World, second: Callable[[Mix], int]) -> list[tuple[int, int]]:
    pairs = sorted(((_cost_high(world, mix), second(mix), mix) for mix in _mixes_within_limits(world)), key=_pair)
    motion, front, least = _Motion(world), [], inf
    for cost, other, mix in pairs:
        if other < least and motion.free(mix):
            front.append((cost, other))
            least = other
    return front


def _pair(entry: tuple[int, int, Mix]) -> tuple[int, int]:
    return entry[:2]


def _hold_mn(mix: Mix) -> int:
    return sum(round(1000 * piece.count * piece.attachment.retention_n.low) for piece in mix)


def _mixes_within_limits(world: World, *, splint: bool = True) -> list[Mix]:
    enumeration = Enumeration()
    for site in sites_of(world.case, world.catalogue.defaults):
        enumeration.addVariable(site.id, [None, *_pieces(world, site)])
    found = (tuple(p for p in mix.values() if p is not None) for mix in enumeration.getSolutionIter())
    bar_stays = splint and world.case.arch == "upper" and bool(world.case.segments)
    return [mix for mix in found if _keeps_limits(world, mix) and not (bar_stays and _on_supports(mix))]


def _on_supports(mix: Sequence[Piece]) -> bool:
    return any(piece.site.kind == "support" for piece in mix)


def _pieces(world: World, site: Site) -> Iterator[Piece]:
    for attachment in world.catalogue.attachments.values():
        if site.kind not in attachment.at:
            continue
        steps = [world.catalogue.reworks[name] for name in attachment.steps]
        extras = [r for r in world.catalogue.reworks.values() if site.kind in r.at and not r.always_with]
        for size in range(3):
            for extra in combinations(extras, size):
                for count in range(1, (attachment.most if site.kind == "segment" else 1) + 1):
                    reworks = (*extra, *steps)
                    asks = _asks(world, site, attachment, count, reworks)
                    if asks is not None and _permitted(world, reworks):
                        yield Piece(site, attachment, count, reworks, asks)


def _permitted(world: World, reworks: Sequence[Rework]) -> bool:
    return all(getattr(world.case.allowed, work) for rework in reworks for work in rework.permissions)


def _asks(
    world: World, site: Site, attachment: Attachment, count: int, reworks: Sequence[Rework]
) -> frozenset[tuple[str, str]] | None:
    """The questions a piece hangs on; None where a need is refuted."""
    facts: dict[str, Fact] = dict(site.facts)
    states: list[tuple[str, str]] = []
    for rework in reworks:
        states += [(need.of, _state(need, facts.get(need.of))) for need in rework.needs]
        for of, made in rework.makes.items():
            facts[of] = made if isinstance(made, str) else Measure(made, rework.tolerance_mm)
        for of, by in rework.changes.items():
            old = facts[of]
            if isinstance(old, Measure) and old.value is not None:
                facts[of] = Measure(old.value + by, old.error)
    states += [(need.of, _state(need, facts.get(need.of))) for need in attachment.needs]
    defaults = world.catalogue.defaults
    if attachment.kind != "bare":
        stack = attachment.stack
        height = stack.part + stack.housing + stack.spacer + defaults.acrylic_mm.value + defaults.tooth_mm.value
        states.append(("room_mm", _range_state(facts["room_mm"], height, inf)))
    if attachment.length_mm is not None and "length_mm" in facts:
        length = count * attachment.length_mm + (count - 1) * attachment.spacing_mm
        states.append(("length_mm", _range_state(facts["length_mm"], length, inf)))
    if set(attachment.metals) & set(world.case.patient.sensitivities):
        return None
    if attachment.magnetic:
        states.append(("scans", {"yes": "no", "no": "yes", "unknown": "ask"}[world.case.patient.scans_expected]))
    if any(state == "no" for _, state in states):
        return None
    return frozenset((site.id, of) for of, state in states if state == "ask")


def _state(need: Need, fact: Fact | None) -> str:
    if need.one_of:
        return "ask" if fact == "unknown" else "yes" if fact in need.one_of else "no"
    least = -inf if need.at_least is None else need.at_least
    return _range_state(fact, least, inf if need.at_most is None else need.at_most)


def _range_state(fact: Fact | None, least: float, most: float) -> str:
    if not isinstance(fact, Measure):
        return "no"
    if fact.value is None:
        return "ask"
    low, high = fact.value - fact.error, fact.value + fact.error
    if high < least - 1e-6 or low > most + 1e-6:
        return "no"
    return "yes" if low >= least - 1e-6 and high <= most + 1e-6 else "ask"


def _rank(world: World, mix: Sequence[Piece]) -> tuple[int, int, int]:
    questions = frozenset(ask for piece in mix for ask in piece.asks)
    parts = sum(piece.count for piece in mix if piece.attachment.kind != "bare")
    return _cost_high(world, mix), len(questions), parts


def _cost_high(world: World, mix: Sequence[Piece]) -> int:
    once = {r.id: r for piece in mix for r in piece.reworks if r.once}
    each = sum(
        p.count * _high(world, p.attachment) + sum(_high(world, r) for r in p.reworks if not r.once) for p in mix
    )
    return each + sum(_high(world, r) for r in once.values())


def _years_high(world: World, mix: Sequence[Piece]) -> int:
    """Fitting, then every month within the years, but the last, at which something is due at the sooner interval."""
    services = [(piece.count, piece.attachment.service) for piece in mix]
    due = [*services, (1, world.catalogue.defaults.recall)]
    later = 0
    for month in range(1, 12 * world.case.money.years):
        later += sum(n * _high(world, service) for n, service in due if service and month % service.months[0] == 0)
    return _cost_high(world, mix) + later


def _high(world: World, entry: Attachment | Rework | Service | Recall) -> int:
    money = world.case.money

    def cents(amount: Fraction) -> int:
        return int(amount * 100 + Fraction(1, 2))

    bench = Fraction(str(entry.work.bench[1])) * Fraction(str(money.bench_per_hour))
    chair = Fraction(str(entry.work.chair[1])) * Fraction(str(money.chair_per_hour))
    return cents(Fraction(str(entry.price.high))) + cents((bench + chair) / 60)


def _keeps_limits(world: World, mix: Sequence[Piece]) -> bool:
    case, wanted = world.case, world.case.wanted
    if len({piece.site.kind == "support" for piece in mix}) > 1:
        return False
    if case.money.cap is not None and _cost_high(world, mix) > round(case.money.cap * 100):
        return False
    if sum(p.count * p.attachment.retention_n.low for p in mix) < (wanted.hold_n or 0) - 1e-6:
        return False
    if wanted.most_n is not None and sum(p.count * p.attachment.retention_n.high for p in mix) > wanted.most_n + 1e-6:
        return False
    return _ends_covered(world, mix)


def _ends_covered(world: World, mix: Sequence[Piece]) -> bool:
    """An end that stands too high to be left bare carries something, unless the bar is off."""
    defaults = world.catalogue.defaults
    cover = defaults.acrylic_mm.value + defaults.tooth_mm.value
    filled = {piece.site.id for piece in mix}
    return _on_supports(mix) or all(
        site.id in filled or _range_state(site.facts["room_mm"], cover, inf) != "no"
        for site in sites_of(world.case, defaults)
        if site.kind == "end"
    )


def _takes_pulls(world: World, layout: Layout, mix: Sequence[Piece]) -> bool:
    """Every pull asked for is balanced by retentions at their low end, and by contacts that only push."""
    base = layout.base
    spots = {"centre": (base.left + base.right + base.front) / 3, "left": base.left, "right": base.right}
    spots["front"] = base.front
    contacts = [base.left, base.right, base.front, *layout.supports.values(), *layout.ends.values()]
    held = [(at, piece.attachment.retention_n.low) for piece in mix for at in _places(piece)]
    columns = [(1.0, at[0], at[1]) for at, _ in held] + [(-1.0, -at[0], -at[1]) for at in contacts]
    bounds = [(0, low) for _, low in held] + [(0, None)] * len(contacts) + [(0, None)]
    for name, least in world.case.wanted.pull_n.items():
        pull = (-1.0, -spots[name][0], -spots[name][1])
        balance = np.array([*columns, pull]).T
        found = linprog([0] * len(columns) + [-1], A_eq=balance, b_eq=[0, 0, 0], bounds=bounds, method="highs")
        if -found.fun < least - 1e-6:
            return False
    return True


def _places(piece: Piece) -> list[np.ndarray]:
    if piece.attachment.kind == "bare":
        return []
    pitch = (piece.attachment.length_mm or 0) + piece.attachment.spacing_mm
    return [piece.site.at + (k - (piece.count - 1) / 2) * pitch * piece.site.frame.a for k in range(piece.count)]


class _Motion:
    """Whether the base reaches every demand that the case asks, by linprog; sub-mixes that bind are remembered."""

    def __init__(self, world: World) -> None:
        self.world, self.layout = world, Layout(world.case)
        settling = world.case.denture.settling_mm
        self.settling_mm = (settling.value or 0) + settling.error
        self.bound: list[frozenset[tuple[str, str, int]]] = []

    def free(self, mix: Sequence[Piece]) -> bool:
        key = frozenset((p.site.id, p.attachment.id, p.count) for p in mix)
        if any(smaller <= key for smaller in self.bound):
            return False
        asked = {"whole": ("front", "left", "right"), "front": ("front",), "left": ("left",), "right": ("right",)}
        wanted = self.world.case.wanted.movement
        if all(self.reach(mix, points) >= wanted.get(name, 1) - 1e-6 for name, points in asked.items()):  # type: ignore[call-overload]
            return True
        self.bound.append(key)
        return False

    def reach(self, mix: Sequence[Piece], asked: Sequence[str]) -> float:
        """Largest fraction of the settling; unknowns: w (rad), t (mm), fraction."""
        rows, limits = [], []
        for piece in mix:
            for row, low, high in _boxes(self.world, piece):
                if high < inf:
                    rows.append([*row, 0.0])
                    limits.append(high)
                if low > -inf:
                    rows.append([*(-row), 0.0])
                    limits.append(-low)
        for name in ("front", "left", "right"):
            at = getattr(self.layout.base, name)
            sinks = np.concatenate([-np.cross(at, self.layout.out), -self.layout.out])
            rows.append([*sinks, 0.0])
            limits.append(self.settling_mm)
            if name in asked:
                rows.append([*(-sinks), self.settling_mm])
                limits.append(0.0)
        bounds = [(None, None)] * 6 + [(0, 1)]
        found = linprog([0] * 6 + [-1], A_ub=np.array(rows), b_ub=limits, bounds=bounds, method="highs")
        return float(-found.fun)


def _boxes(world: World, piece: Piece) -> Iterator[tuple[np.ndarray, float, float]]:
    """Rows of local motion on (w, t) with their limits, for every part of a piece."""
    moves, play = piece.attachment.movement, world.catalogue.defaults.play
    frame = piece.site.frame
    for at in _places(piece):
        lengths: list[tuple[np.ndarray, object, object]] = [
            (frame.a, moves.slide_mm, moves.slide_mm),
            (frame.l, moves.sideways_mm, moves.sideways_mm),
            (frame.v, moves.down_mm, moves.up_mm),
        ]
        for axis, down, up in lengths:
            yield np.concatenate([np.cross(at, axis), axis]), -_limit(down, play.mm), _limit(up, play.mm)
        for axis, turn in ((frame.a, moves.hinge_deg), (frame.l, moves.tip_deg), (frame.v, moves.turn_deg)):
            most = np.radians(_limit(turn, play.deg))
            yield np.concatenate([axis, np.zeros(3)]), -most, most


def _limit(given: object, play: float) -> float:
    return inf if given == "free" else max(float(given or 0), play)  # type: ignore[arg-type]
