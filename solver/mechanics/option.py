"""A usable candidate with its parts in place: what a mix is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from solver.case.rule_set import overshoot_percent
from solver.case.rules import NeedHolds, Rule, Shortfall
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.mechanics.placement import Placement


@dataclass(frozen=True, eq=False)
class Option:
    """A usable candidate with its parts in place and the waivers it would need."""

    candidate: Candidate
    placements: tuple[Placement, ...]
    needs_waived: tuple[Rule, ...]

    @cached_property
    def site(self) -> str:
        """Where it goes."""
        return self.candidate.site.id

    @cached_property
    def short_percent(self) -> Mapping[NeedHolds, int]:
        """By how much of what may be waived each need is short, per cent rounded up."""
        found: dict[NeedHolds, int] = {}
        for judged in self.candidate.judgements:
            if judged.verdict is Verdict.SHORT:
                rule = NeedHolds(self.site, judged.of)
                up_to = judged.waiver.up_to if judged.waiver else 0.0
                percent = overshoot_percent(rule, Shortfall(-judged.short_by, 0.0, judged.unit), up_to)
                found[rule] = max(found.get(rule, 0), percent)
        return found

    @cached_property
    def in_kind(self) -> tuple[Placement, ...]:
        """Its parts by kind: every freedom without end (see `Placement.in_kind`)."""
        return tuple(part.in_kind for part in self.placements)

    @cached_property
    def places(self) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """Where its parts stand, in order along the site."""
        return tuple(part.place for part in self.placements)

    @cached_property
    def manner(self) -> bytes:
        """How its parts may move, each its least and most (6,) in order along the site.

        Equal for options that differ only in site, price, hold or work.
        """
        return b"".join(part.manner for part in self.placements)
