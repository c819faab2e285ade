"""Every mix of a case, by python-constraint, with the rules that it breaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from math import prod
from typing import TypeAlias

from solver.case import PULLS
from solver.second_opinion.asks import Ask, ask_for
from solver.second_opinion.motion import Motion
from solver.second_opinion.pieces import TOLERANCE, Piece, pieces_at, range_state
from solver.second_opinion.places import bar_off_asked, cover_mm
from solver.second_opinion.prices import Prices
from solver.second_opinion.world import World

Mix: TypeAlias = tuple[Piece, ...]
Rank: TypeAlias = tuple[int, int, int]


class NotInstalled(Exception):
    """The library that enumerates is missing."""

    def __init__(self) -> None:
        super().__init__()
        self.module, self.extra = "constraint", "referee"

    def __str__(self) -> str:
        return f"the library `python-constraint2` is not installed; it comes with the extra `regrip[{self.extra}]`"


class Mixes:
    """All mixes of one case with the bar on, then with the bar off."""

    def __init__(self, world: World) -> None:
        self.world, self.prices, self.motion = world, Prices(world), Motion(world)
        places = self.motion.map.places
        pieces = {place.id: pieces_at(world, place, self.prices) for place in places}
        self.groups = [
            {place.id: pieces[place.id] for place in places if (place.kind == "support") is bar_off}
            for bar_off in (False, True)
        ]
        self.ends = [place for place in places if place.kind == "end"]
        self._once = {r.id: self.prices.high(r) for r in world.catalogue.reworks.values() if r.once}
        self.splint = bar_off_asked(world.case)

    @property
    def number(self) -> int:
        """How many there are to try."""
        return sum(prod(1 + len(pieces) for pieces in group.values()) for group in self.groups)

    def __iter__(self) -> Iterator[Mix]:
        """The empty mix counts as one with the bar on."""
        for bar_off, group in enumerate(self.groups):
            for mix in _combined(group):
                if mix or not bar_off:
                    yield mix

    def rank(self, mix: Sequence[Piece]) -> Rank:
        """Cost of fitting (minor units, high end), open questions, parts: the least is the best."""
        return self.cost(mix), len(self.asks(mix)), sum(piece.parts for piece in mix)

    def asks(self, mix: Sequence[Piece]) -> frozenset[Ask]:
        """What a mix hangs on; an end that is left bare hangs on the room above it where that is open."""
        filled = {piece.site.id for piece in mix}
        bar_off = any(piece.site.kind == "support" for piece in mix)
        bare = (ask for site, ask in self._doubtful_ends.items() if site not in filled and not bar_off)
        return frozenset(ask for piece in mix for ask in piece.asks) | frozenset(bare)

    @cached_property
    def _doubtful_ends(self) -> dict[str, Ask]:
        """Ends of which it is open whether they can be left bare, with what would tell."""
        cover = cover_mm(self.world)
        states = {e.id: range_state(e.facts["room_mm"], cover, float("inf")) for e in self.ends}
        return {end: ask_for(self.world.case, end, "room_mm") for end, state in states.items() if state == "ask"}

    def cost(self, mix: Sequence[Piece]) -> int:
        """Cost of fitting, minor units, high end."""
        once = {name for piece in mix for name in piece.once}
        return sum(piece.cost for piece in mix) + sum(self._once[name] for name in once)

    def years_cost(self, mix: Sequence[Piece]) -> int:
        """Cost over the years of the case, minor units, high end."""
        later = sum(p.count * self.prices.repeated(p.attachment.service) for p in mix if p.attachment.service)
        return self.cost(mix) + later + self.prices.visits()

    def plainly_broken(self, mix: Sequence[Piece]) -> frozenset[str]:
        """Codes of the rules that a mix breaks, without those of movement and pulls, which take an LP each."""
        broken = {code for piece in mix for code in piece.broken}
        case, wanted = self.world.case, self.world.case.wanted
        if self.prices.cap is not None and self.cost(mix) > self.prices.cap:
            broken.add("budget")
        if sum(p.count * p.attachment.retention_n.low for p in mix) < self.floor_n - TOLERANCE:
            broken.add("hold")
        if self.floor_n > 0 and not any(p.attachment.retention_n.low > 0 for p in mix):
            broken.add("held")
        most = self.world.catalogue.defaults.pull_n
        ceiling = wanted.most_n if case.patient.hand == "unknown" else getattr(most, case.patient.hand)
        ceiling = ceiling if wanted.most_n is None else wanted.most_n
        if ceiling is not None and sum(p.count * p.attachment.retention_n.high for p in mix) > ceiling + TOLERANCE:
            broken.add("pull")
        if any(piece.site.kind == "support" for piece in mix):
            return frozenset(broken | {"unsplint"}) if self.splint else frozenset(broken)
        filled = {piece.site.id for piece in mix}
        return frozenset(broken | {code for site, code in self.tall_ends.items() if site not in filled})

    @property
    def floor_n(self) -> float:
        """Least hold of the whole denture."""
        given = self.world.case.wanted.hold_n
        return self.world.catalogue.defaults.hold_n.value if given is None else given

    @cached_property
    def tall_ends(self) -> dict[str, str]:
        """Ends that stand too high to be left bare, with the code of the rule that says so."""
        cover = cover_mm(self.world)
        return {
            e.id: f"cover:{e.id}" for e in self.ends if range_state(e.facts["room_mm"], cover, float("inf")) == "no"
        }

    @cached_property
    def hard(self) -> frozenset[str]:
        """Codes of rules that nobody may give up: physics."""
        cover, thin = cover_mm(self.world), self.world.catalogue.defaults.thin_base.up_to
        never = {
            f"cover:{e.id}" for e in self.ends if range_state(e.facts["room_mm"], cover, float("inf"), thin) == "no"
        }
        return frozenset(never | {"moves:front", "moves:left", "moves:right", "held"})

    def broken(self, mix: Sequence[Piece]) -> frozenset[str]:
        """Codes of all rules that a mix breaks."""
        moves = {f"moves:{name}" for name in self.motion.shares if self.motion.binds(mix, name)}
        pulls = {f"pulls:{name}" for name in PULLS if self.motion.weak(mix, name)}
        return self.plainly_broken(mix) | moves | pulls


def _combined(group: dict[str, list[Piece]]) -> Iterator[Mix]:
    try:
        from constraint import Problem  # noqa: PLC0415 - an extra, needed here alone
    except ModuleNotFoundError:
        raise NotInstalled from None
    if not group:
        yield ()
        return
    enumeration = Problem()
    for site, pieces in group.items():
        enumeration.addVariable(site, [None, *pieces])
    for mix in enumeration.getSolutionIter():
        yield tuple(piece for site in group if (piece := mix[site]) is not None)
