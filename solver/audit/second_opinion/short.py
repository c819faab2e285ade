"""How far a way to fill a site falls short of its needs, and which of its steps are idle."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf
from typing import NamedTuple

from catalogue.blocks import Need
from catalogue.models import Rework
from solver.audit.second_opinion.asked import percent
from solver.audit.second_opinion.pieces import Piece, range_state, word_state
from solver.audit.second_opinion.places import Fact, cover_mm
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure

ORDER = ("yes", "ask", "short", "no")


class Grade(NamedTuple):
    """One need of a step, or of the attachment where `step` is empty: its state, what is missing, what may be."""

    step: str
    of: str
    state: str
    missing: float = 0.0
    may: float = 0.0

    @property
    def badness(self) -> tuple[int, float]:
        """From good to bad."""
        return ORDER.index(self.state), self.missing


def grades(world: World, piece: Piece) -> Iterator[Grade]:
    """Every need that hangs on the facts of the site, in turn."""
    facts = dict(piece.site.facts)
    for rework in piece.reworks:
        yield from (_grade(rework.id, need, facts.get(need.of)) for need in rework.needs)
        facts |= _made_by(rework, facts)
    yield from (_grade("", need, facts.get(need.of)) for need in piece.attachment.needs)
    if piece.attachment.kind != "bare":
        stack, thin = piece.attachment.stack, world.catalogue.defaults.thin_base
        height = stack.part + stack.housing + stack.spacer + cover_mm(world)
        need = Need(of="room_mm", at_least=height, source=stack.source, waive=thin)
        yield _grade("", need, facts["room_mm"])


def percents(world: World, piece: Piece) -> dict[str, int]:
    """Every rule that a piece breaks by itself, with how much of what may be missing is, per cent."""
    found = dict.fromkeys(piece.broken, 0)
    for grade in grades(world, piece):
        code = f"need:{piece.site.id}:{grade.of}"
        if grade.state == "short":
            found[code] = max(found[code], percent(grade.missing, grade.may))
    return found


def useful(world: World, pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces of one site without those whose further steps gain nothing over fewer of them.

    What a step needs itself is its own affair, and a bar that is cut less bears no less.
    """
    brought = {step for rework in world.catalogue.reworks.values() for step in rework.steps}
    told = {piece: list(grades(world, piece)) for piece in pieces}

    def badness(piece: Piece) -> list[tuple[int, float]]:
        return [grade.badness for grade in told[piece] if grade.step not in brought | piece.extra]

    def spares(fewer: Piece, more: Piece) -> bool:
        alike = fewer.moves_as == more.moves_as and fewer.extra < more.extra
        return alike and all(one <= other for one, other in zip(badness(fewer), badness(more), strict=True))

    return [piece for piece in pieces if not any(spares(other, piece) for other in pieces)]


def _grade(step: str, need: Need, fact: Fact | None) -> Grade:
    may = None if need.waive is None else need.waive.up_to
    if need.one_of:
        return Grade(step, need.of, word_state(need, fact), 0.0, may or 0.0)
    least = -inf if need.at_least is None else need.at_least
    most = inf if need.at_most is None else need.at_most
    state, missing = range_state(fact, least, most, may), 0.0
    if state == "short" and isinstance(fact, Measure) and fact.value is not None:
        missing = max(least - fact.value, fact.value - most)
    return Grade(step, need.of, state, round(missing, 9), may or 0.0)


def _made_by(rework: Rework, facts: Mapping[str, Fact]) -> Iterable[tuple[str, Fact]]:
    """What a step makes of the facts."""
    made: dict[str, Fact] = {
        of: to if isinstance(to, str) else Measure(to, rework.tolerance_mm) for of, to in rework.makes.items()
    }
    for of, by in rework.changes.items():
        old = made.get(of, facts.get(of))
        if isinstance(old, Measure) and old.value is not None:
            made[of] = Measure(old.value + by, old.error + rework.tolerance_mm)
    return made.items()
