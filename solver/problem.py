"""What the choice is made from: options with all numbers ready, rules, and nothing left to look up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Literal, TypeAlias

from catalogue.blocks import Permission
from catalogue.models import Catalogue
from solver.candidate import Candidate
from solver.case import Case
from solver.fit import Fit, fit
from solver.judge import Verdict
from solver.layout import Layout
from solver.money import Cost, Purse
from solver.movement import MovementModel
from solver.placement import Placement, Places
from solver.price import purse_of, rework_cost
from solver.rules import Covered, NeedHolds, NotAllowed, Rule, rules_of
from solver.upkeep import recall_cost, upkeep_cost

Least: TypeAlias = Literal["now", "years"]
"""Which cost is made least: that of fitting, or that over the years of the case."""


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
    def places(self) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """Where its parts stand, in order along the site."""
        return tuple(part.place for part in self.placements)

    @cached_property
    def manner(self) -> bytes:
        """How its parts may move, each its least and most (6,) in order along the site.

        Equal for options that differ only in site, price, hold or work.
        """
        return b"".join(part.manner for part in self.placements)


@dataclass(frozen=True)
class Problem:
    """One case against one catalogue, prepared."""

    case: Case
    catalogue: Catalogue
    purse: Purse
    fit: Fit
    rules: tuple[Rule, ...]
    charges: dict[str, Cost]
    settling_mm: float

    @cached_property
    def options(self) -> tuple[Option, ...]:
        """Every usable candidate, in order of site and key."""
        return tuple(self.option(candidate) for candidate in self.fit.usable)

    @cached_property
    def option_of(self) -> Mapping[str, Option]:
        """The options by the key of their candidate."""
        return MappingProxyType({option.candidate.key: option for option in self.options})

    def option(self, candidate: Candidate) -> Option:
        """A candidate of this case with its parts in place."""
        not_allowed = tuple(self._closed[p] for p in candidate.permissions if p in self._closed)
        short = tuple(NeedHolds(*waived) for waived in candidate.waived)
        return Option(candidate, self._places.of(candidate), not_allowed + short)

    @cached_property
    def _closed(self) -> Mapping[Permission, NotAllowed]:
        return {rule.permission: rule for rule in self.rules if isinstance(rule, NotAllowed)}

    @cached_property
    def _places(self) -> Places:
        return Places(self.catalogue.defaults.play)

    @cached_property
    def site_ids(self) -> tuple[str, ...]:
        """All sites in order."""
        return tuple(site.site.id for site in self.fit.sites)

    @cached_property
    def layout(self) -> Layout:
        """Positions of the case."""
        return Layout(self.case)

    def movement_model(self) -> MovementModel:
        """A fresh movement LP for this case."""
        return MovementModel(self.layout.base, self.layout.out, self.settling_mm)

    def cost_of(self, mix: Sequence[Candidate]) -> Cost:
        """Cost of a mix; what is paid once a case is counted once."""
        once = dict.fromkeys(charge for candidate in mix for charge in candidate.charges)
        return sum((self.charges[c] for c in once), sum((c.cost for c in mix), Cost()))

    def upkeep_of(self, candidate: Candidate) -> Cost:
        """What renewing the parts of a candidate costs over the years of the case."""
        return upkeep_cost(candidate.attachment, candidate.count, self.case.money.years, self.purse)

    @cached_property
    def recalls(self) -> Cost:
        """What the regular visits cost over the years of the case."""
        return recall_cost(self.catalogue.defaults.recall, self.case.money.years, self.purse)

    def years_cost_of(self, mix: Sequence[Candidate]) -> Cost:
        """Cost of a mix over the years of the case: fitting, renewals and regular visits."""
        return sum((self.upkeep_of(c) for c in mix), self.cost_of(mix) + self.recalls)


def problem_of(case: Case, catalogue: Catalogue, fitted: Fit | None = None) -> Problem:
    """Prepare a case; raises `NoExchange` where its currency cannot be reached from the catalogue's.

    What is `fitted` already is not judged again.
    """
    purse = purse_of(case, catalogue)
    fitted = fitted or fit(case, catalogue, purse)
    settling = case.denture.settling_mm
    sinks_mm = settling.high if settling.known else getattr(catalogue.defaults.settling_mm, case.arch)
    uncovered = tuple(
        Covered(site.site.id, site.bare.short_by, site.bare.verdict is Verdict.SHORT)
        for site in fitted.sites
        if site.bare is not None and site.bare.verdict is not Verdict.HOLDS  # to be asked: an option leaves it bare
    )
    charges = {r.id: rework_cost(r, purse) for r in catalogue.reworks.values() if r.once}
    rules = (*rules_of(case, catalogue, purse), *uncovered)
    return Problem(case, catalogue, purse, fitted, rules, charges, sinks_mm)
