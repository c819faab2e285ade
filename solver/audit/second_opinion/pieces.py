"""Every way to fill a site that physics allows, with what it asks, costs and lives with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import inf
from typing import NamedTuple

import numpy as np

from catalogue.blocks import Need
from catalogue.models import Attachment, Rework
from solver.audit.second_opinion.asks import Ask, ask_for
from solver.audit.second_opinion.bar import bar_state
from solver.audit.second_opinion.places import Fact, Place, Vector, cover_mm
from solver.audit.second_opinion.prices import Prices
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.case.schema import Case

MOST_EXTRA = 2
"""Steps beyond an attachment's own that are tried together at a site."""

TOLERANCE = 1e-6


class State(NamedTuple):
    """What a need is of, what it asks, and whether it holds: `yes`, `ask`, `short` (one may live with it) or `no`."""

    of: str
    stands: str
    asks: frozenset[Ask]


@dataclass(frozen=True, eq=False)
class Piece:
    """One way to fill a site. `broken` are the codes of rules that a person would have to give up for it."""

    site: Place
    attachment: Attachment
    count: int
    reworks: tuple[Rework, ...]
    asks: frozenset[Ask]
    broken: frozenset[str]
    cost: int

    @cached_property
    def once(self) -> frozenset[str]:
        """Steps that are paid once a case."""
        return frozenset(rework.id for rework in self.reworks if rework.once)

    @cached_property
    def extra(self) -> frozenset[str]:
        """Steps that come neither with the attachment nor before another step."""
        brought = {*self.attachment.steps, *(name for rework in self.reworks for name in rework.steps)}
        return frozenset(rework.id for rework in self.reworks) - brought

    @property
    def harms_bar(self) -> bool:
        """True where it cuts or welds what is sound."""
        return any({"cut_bar", "weld"} & set(r.permissions) and not r.cuts_only_worn for r in self.reworks)

    @property
    def parts(self) -> int:
        """Pieces to order."""
        return 0 if self.attachment.kind == "bare" else self.count

    @property
    def moves_as(self) -> tuple[str, str, int]:
        """Pieces that agree in this move, hold and wear alike."""
        return self.site.id, self.attachment.id, self.count

    @cached_property
    def spots(self) -> tuple[Vector, ...]:
        """Where its parts sit."""
        if self.attachment.kind == "bare":
            return ()
        pitch = (self.attachment.length_mm or 0) + self.attachment.spacing_mm
        along = self.site.axes[0] * pitch
        return tuple(np.asarray(self.site.at + (k - (self.count - 1) / 2) * along) for k in range(self.count))


def pieces_at(world: World, place: Place, prices: Prices) -> list[Piece]:
    """All pieces of a site, cheap ones first."""
    return sorted(_every_piece(world, place, prices), key=lambda piece: (piece.cost, len(piece.reworks)))


def _every_piece(world: World, place: Place, prices: Prices) -> Iterator[Piece]:
    for attachment in world.catalogue.attachments.values():
        if place.kind not in attachment.at:
            continue
        own = _own_steps(world, attachment)
        helpful = _helpful(world, place, attachment, own)
        for size in range(MOST_EXTRA + 1):
            for extra in combinations(helpful, size):
                done = (*extra, *own)
                if len({rework.id for rework in done}) == len(done):  # a site is worked on once by each step
                    yield from _counted(world, place, attachment, _all_steps(world, done), prices)


def _own_steps(world: World, attachment: Attachment) -> tuple[Rework, ...]:
    """The steps of an attachment; with no stretch of bar in the case there is no bar to take off."""
    steps = (world.catalogue.reworks[name] for name in attachment.steps)
    return tuple(step for step in steps if world.case.segments or "bar_off" not in step.permissions)


def _all_steps(world: World, reworks: Iterable[Rework]) -> tuple[Rework, ...]:
    """The reworks in order, each once and each after what always goes before it."""
    names = [name for rework in reworks for name in (*rework.steps, rework.id)]
    return tuple(world.catalogue.reworks[name] for name in dict.fromkeys(names))


def _helpful(world: World, place: Place, attachment: Attachment, own: tuple[Rework, ...]) -> list[Rework]:
    """Steps that touch a need which does not hold as it is: nothing is cut for its own sake."""
    states = _states(world, place, attachment, _all_steps(world, own), Work(world.case, place))
    missed = {state.of for state in states if state.stands != "yes"}
    here = (r for r in world.catalogue.reworks.values() if place.kind in r.at and not r.always_with)
    return [rework for rework in here if missed & {*rework.makes, *rework.changes}]


def _counted(
    world: World, place: Place, attachment: Attachment, reworks: tuple[Rework, ...], prices: Prices
) -> Iterator[Piece]:
    work = Work(world.case, place)
    states = list(_states(world, place, attachment, reworks, work))
    if any(state.stands == "no" for state in states):
        return
    closed = {f"allowed:{work}" for r in reworks for work in r.permissions if not getattr(world.case.allowed, work)}
    for count in range(1, (attachment.most if place.kind == "segment" else 1) + 1):
        along = _length_state(attachment, count, work.facts)
        if along == "no":
            return
        every = [*states, State("length_mm", along, work.asks("length_mm"))]
        asks = frozenset(ask for state in every if state.stands == "ask" for ask in state.asks)
        short = {f"need:{place.id}:{state.of}" for state in every if state.stands == "short"}
        cost = prices.fitted(attachment, count, reworks)
        yield Piece(place, attachment, count, reworks, asks, frozenset(closed | short), cost)


class Work:
    """A site on its way through the steps: its facts so far, and which step made them."""

    def __init__(self, case: Case, place: Place) -> None:
        self._case, self._site = case, place.id
        self.facts, self._made = dict(place.facts), dict[str, str]()

    def asks(self, *names: str) -> frozenset[Ask]:
        """What would tell more of these facts: an entry of the case, or how the step comes out that makes them."""
        return frozenset(
            frozenset({f"reworks.{self._made[of]}.{of}"}) if of in self._made else ask_for(self._case, self._site, of)
            for of in names
        )

    def judged(self, needs: Iterable[Need]) -> Iterator[State]:
        """Every need by the facts as they are now."""
        return (State(need.of, _state(need, self.facts.get(need.of)), self.asks(need.of)) for need in needs)

    def apply(self, rework: Rework) -> None:
        """Do a step."""
        for of, made in rework.makes.items():
            self.facts[of] = made if isinstance(made, str) else Measure(made, rework.tolerance_mm)
            self._made[of] = rework.id
        for of, by in rework.changes.items():
            old = self.facts.get(of)
            if isinstance(old, Measure) and old.value is not None:
                self.facts[of] = Measure(old.value + by, old.error + rework.tolerance_mm)


def _states(
    world: World, place: Place, attachment: Attachment, reworks: Sequence[Rework], work: Work
) -> Iterator[State]:
    """Every need in turn; the reworks are done on the way."""
    for rework in reworks:
        yield from work.judged(rework.needs)
        work.apply(rework)
    yield from work.judged(need for need in attachment.needs if not _told_by_room(world, attachment, need, work))
    if attachment.kind != "bare":
        stack = attachment.stack
        height = stack.part + stack.housing + stack.spacer + cover_mm(world)
        thin = range_state(work.facts["room_mm"], height, inf, world.catalogue.defaults.thin_base.up_to)
        yield State("room_mm", thin, work.asks("room_mm"))
    if (borne := bar_state(world.case, place, work.facts, reworks)) is not None:
        yield State("strength", borne.stands, work.asks(*borne.asks))
    if attachment.kind != "bare" and _rests_on_a_loose_one(world.case, place.id):
        yield State("mobility", "no", frozenset())
    yield from _of_the_patient(world, attachment, work)
    if attachment.wears_by_grinding:
        yield State("grinding", "short" if grinds_hard(world) else "yes", work.asks("grinding"))


def _rests_on_a_loose_one(case: Case, name: str) -> bool:
    """True for what stands on an implant that is known to move."""
    loose = {support for support, each in case.supports.items() if each.mobility == "loose"}
    segment, end = case.segments.get(name), case.ends.get(name)
    return bool(loose & {name, *(segment.between if segment else ()), *((end.on,) if end else ())})


def _told_by_room(world: World, attachment: Attachment, need: Need, work: Work) -> bool:
    """A space not known is no question of its own where more room than that is asked above the bar."""
    space = work.facts.get("space_mm")
    unknown = need.of == "space_mm" and isinstance(space, Measure) and space.value is None and need.at_most is None
    if not unknown or attachment.kind == "bare":
        return False
    stack = attachment.stack
    height = stack.part + stack.housing + stack.spacer + cover_mm(world)
    return height - world.catalogue.defaults.thin_base.up_to >= (need.at_least or 0)


def grinds_hard(world: World) -> bool:
    """True for a patient who is known to grind on something hard."""
    return world.case.patient.bruxism == "yes" and world.case.opposing in {"natural", "implants"}


def _of_the_patient(world: World, attachment: Attachment, work: Work) -> Iterator[State]:
    patient = world.case.patient
    if {metal.lower() for metal in attachment.metals} & {metal.lower() for metal in patient.sensitivities}:
        yield State("metals", "no", frozenset())
    if attachment.magnetic:
        stands = {"yes": "short", "no": "yes", "unknown": "ask"}[patient.scans_expected]
        yield State("scans", stands, work.asks("scans"))


def _length_state(attachment: Attachment, count: int, facts: Mapping[str, Fact]) -> str:
    if attachment.length_mm is None or "length_mm" not in facts:
        return "yes"
    return range_state(facts["length_mm"], count * attachment.length_mm + (count - 1) * attachment.spacing_mm, inf)


def _state(need: Need, fact: Fact | None) -> str:
    if need.one_of:
        return word_state(need, fact)
    waived = None if need.waive is None else need.waive.up_to
    least = -inf if need.at_least is None else need.at_least
    return range_state(fact, least, inf if need.at_most is None else need.at_most, waived)


def word_state(need: Need, fact: Fact | None) -> str:
    """How a word stands to those that will do."""
    if fact in (*need.one_of, "unknown", None):
        return "yes" if fact in need.one_of else "ask" if fact else "no"
    return "no" if need.waive is None else "short"


def range_state(fact: Fact | None, least: float, most: float, waived: float | None = None) -> str:
    """How a number that may have an error stands to its limits; `waived` is a shortfall that may be lived with."""
    if not isinstance(fact, Measure):
        return "no"
    if fact.value is None:
        return "ask"
    if fact.high < least - TOLERANCE or fact.low > most + TOLERANCE:
        short = max(least - fact.value, fact.value - most)
        return "short" if waived is not None and short <= waived + TOLERANCE else "no"
    return "yes" if fact.low >= least - TOLERANCE and fact.high <= most + TOLERANCE else "ask"
