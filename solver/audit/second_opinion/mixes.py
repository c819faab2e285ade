"""Every mix of a case, by python-constraint, with the rules that it breaks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from copy import copy
from fractions import Fraction
from functools import cached_property, partial
from math import prod
from typing import Literal, TypeAlias

from solver.audit.second_opinion.asked import Asked, Tier, percent
from solver.audit.second_opinion.asks import Ask, ask_for
from solver.audit.second_opinion.hold import Hold, Misses, Pulls
from solver.audit.second_opinion.mirror import Likeness, mirrored
from solver.audit.second_opinion.motion import Motion
from solver.audit.second_opinion.pieces import TOLERANCE, Piece, pieces_at, range_state
from solver.audit.second_opinion.places import cover_mm
from solver.audit.second_opinion.prices import Prices
from solver.audit.second_opinion.short import percents, useful
from solver.audit.second_opinion.world import World
from solver.case.schema import DEMANDS, DemandName

Mix: TypeAlias = tuple[Piece, ...]
Least: TypeAlias = Literal["now", "years"]
Rank: TypeAlias = tuple[int, int, int]
Terms: TypeAlias = tuple[Fraction, bool, bool, bool, bool, Rank]


class NotInstalled(Exception):
    """The library that enumerates is missing."""

    def __init__(self) -> None:
        super().__init__()
        self.module, self.extra = "constraint", "referee"

    def __str__(self) -> str:
        return f"the library `python-constraint2` is not installed; it comes with the extra `regrip[{self.extra}]`"


class Mixes:
    """All mixes of one case with the bar on, then with the bar off, held against the promise of the usual tier."""

    def __init__(self, world: World) -> None:
        self.world, self.prices, self.motion, self.asked = world, Prices(world), Motion(world), Asked(world)
        places = self.motion.map.places
        self.useful = {place.id: useful(world, pieces_at(world, place, self.prices)) for place in places}
        self.mirrors = mirrored(self.motion.map)
        self.likeness = Likeness(self.mirrors, self.useful)
        self._percents = {piece: percents(world, piece) for pieces in self.useful.values() for piece in pieces}
        self.groups = [
            {place.id: self._needed(self.useful[place.id]) for place in places if (place.kind == "support") is off}
            for off in (False, True)
        ]
        self.hold = Hold(self.asked, Pulls(world, self.motion.pulled, self.useful), ("usual",))
        self.ends = [place for place in places if place.kind == "end"]
        self._once = {r.id: self.prices.high(r) for r in world.catalogue.reworks.values() if r.once}

    def promising(self, *tiers: Tier) -> Mixes:
        """The same mixes held against the promise of other tiers; what is known of them is shared."""
        other = copy(self)
        other.hold = Hold(self.asked, self.hold.pulls, tiers)
        return other

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

    def _needed(self, pieces: Sequence[Piece]) -> list[Piece]:
        """All pieces of a site but those that another spares in every mix."""
        kept: list[Piece] = []
        for piece in pieces:
            if not any(self._spares(other, piece) for other in kept):
                kept.append(piece)
        return kept

    def _spares(self, one: Piece, other: Piece) -> bool:
        ours, theirs = self._percents[one], self._percents[other]
        same = one.moves_as == other.moves_as and one.once <= other.once
        if "one-kind" in self.asked.saves:
            same = same and one.attachment.id == other.attachment.id
        no_worse = one.cost <= other.cost and one.asks <= other.asks and one.harms_bar <= other.harms_bar
        gives_up_no_more = all(by <= theirs.get(code, -1) for code, by in ours.items())
        return same and no_worse and gives_up_no_more and self.likeness.follows(one, other)

    # What makes one better than another

    def rank(self, mix: Sequence[Piece], least: Least = "now") -> Rank:
        """Cost (minor units, high end), open questions, parts."""
        asks = self.asks(mix)
        cost = self.cost(mix) if least == "now" else self.years_cost(mix)
        return cost, len(asks), sum(piece.parts for piece in mix)

    def terms(self, mix: Sequence[Piece], least: Least = "now") -> Terms:
        """The cost, raised for what is gone without; of equals the one that goes without less."""
        rank, without = self.rank(mix, least), self.without(mix)
        weight = Fraction(rank[0])
        for code in without:
            weight /= 1 - self.asked.saves[code]
        return (
            weight,
            "whole-bar" in without,
            "three-points" in without,
            "one-kind" in without,
            "alike" in without,
            rank,
        )

    def without(self, mix: Sequence[Piece]) -> frozenset[str]:
        """The preferences that a mix goes without."""
        gone = {
            "alike": self.likeness.unlike(mix),
            "one-kind": len({piece.attachment.id for piece in mix if piece.parts}) > 1,
            "three-points": self._on_two_points(mix),
            "whole-bar": any(piece.harms_bar for piece in mix),
        }
        return frozenset(code for code in self.asked.saves if gone[code])

    def _on_two_points(self, mix: Sequence[Piece]) -> bool:
        where = sorted(piece.site.kind for piece in mix if piece.parts)
        return "support" not in where and not (where[:1] == ["end"] and where[-1:] == ["segment"] and len(where) > 2)

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

    # What a mix breaks, each rule with by how much it is missed, per cent

    @property
    def stages(self) -> tuple[Callable[[Mix], Misses], ...]:
        """From what costs nothing to find to what takes the most linear programmes; a later word on a rule counts."""
        bounded, *pulls = self.hold.stages
        jams = (partial(self.jammed, name) for name in DEMANDS)
        return self.plainly_missed, bounded, *jams, self.borne, *pulls, self.short_moves

    def missed(self, mix: Mix) -> Misses:
        """All rules that a mix breaks."""
        return {code: by for stage in self.stages for code, by in stage(mix).items()}

    def broken(self, mix: Mix) -> frozenset[str]:
        """Codes of all rules that a mix breaks."""
        return frozenset(self.missed(mix))

    def weight(self, missed: Misses) -> int:
        """What it weighs to give these rules up."""
        return sum(self.asked.weighs(code, by) for code, by in missed.items())

    def plainly_missed(self, mix: Sequence[Piece]) -> Misses:
        """Without any linear programme: money, permissions, needs, sums and counts."""
        asked, missed = self.asked, {code: by for piece in mix for code, by in self._percents[piece].items()}
        cost, cap = self.cost(mix), self.prices.cap
        if cap is not None and cost > cap:
            missed["budget"] = percent(cost - cap, cap)
        held = sum(p.count * p.attachment.retention_n.low for p in mix)
        if held < asked.level_n - TOLERANCE:
            missed["level"] = percent(asked.level_n - held, asked.level_n)
        if held <= 0:
            missed["held"] = 0
        on_supports = sum(piece.site.kind == "support" for piece in mix)
        if 0 < on_supports < asked.alone_on:
            missed["supports"] = percent(asked.alone_on - on_supports, asked.alone_on)
        if on_supports and asked.splint:
            missed["unsplint"] = 0
        if asked.shaky and not on_supports:
            missed["firm-bar"] = 0
        made = {piece.attachment.kind for piece in mix} - {"bare"}
        if "lining" in made and len(made) > 1:
            missed["lined"] = 0
        filled = {piece.site.id for piece in mix}
        if not on_supports:
            missed |= {code: 0 for site, code in self.tall_ends.items() if site not in filled}
        return missed

    def jammed(self, name: DemandName, mix: Mix) -> Misses:
        """Where parts fight in a demand."""
        return {f"fights:{name}": 0} if self.motion.kind(mix, name) == "fights" else {}

    def borne(self, mix: Mix) -> Misses:
        """Where nothing gives in any demand and too little bears the denture."""
        bar_on = not any(piece.site.kind == "support" for piece in mix)
        if (bar_on and self.asked.bar_bears) or {self.motion.kind(mix, name) for name in DEMANDS} != {"stands"}:
            return {}
        return {"borne": 0}

    def short_moves(self, mix: Mix) -> Misses:
        """Demands of which the case asks more than the base reaches."""
        return {f"moves:{name}": 0 for name in DEMANDS if self.motion.binds(mix, name)}

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
        fights = {f"fights:{name}" for name in DEMANDS}
        return frozenset(never | fights | {"moves:front", "moves:left", "moves:right", "held"})


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
