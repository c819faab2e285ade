"""What the choice is made from: options with all numbers ready, rules, and nothing left to look up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Literal, TypeAlias

from catalogue.blocks import Permission, Service
from catalogue.models import Catalogue
from solver.assess.mirror import mirrored
from solver.case.layout import Layout
from solver.case.money import Cost, Purse
from solver.case.retention import Condition, retention_n
from solver.case.rule_set import preferences, promises, rules_of
from solver.case.rules import Covered, NeedHolds, NotAllowed, Preference, Rule
from solver.case.schema import Case
from solver.fit.bench import Fit, fit
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.fit.pricing import purse_of, rework_cost
from solver.fit.upkeep import recall_cost, upkeep_cost
from solver.handbook.sourced import Interval
from solver.handbook.wear import USUAL_INSERTIONS_PER_DAY
from solver.mechanics.movement import MovementModel
from solver.mechanics.option import Option
from solver.mechanics.placement import Places
from solver.mechanics.side_share import best_shares

Least: TypeAlias = Literal["now", "years"]
"""Which cost is made least: that of fitting, or that over the years of the case."""


@dataclass(frozen=True)
class Problem:
    """One case against one catalogue, prepared.

    `rules` are those of the case and of the usual tier; `stopgap` are the least that a plan without that tier must
    hold; `preferences` choose among plans that keep every rule.
    """

    case: Case
    catalogue: Catalogue
    purse: Purse
    fit: Fit
    rules: tuple[Rule, ...]
    charges: dict[str, Cost]
    settling_mm: float
    stopgap: tuple[Rule, ...] = ()
    preferences: tuple[Preference, ...] = ()

    @cached_property
    def options(self) -> tuple[Option, ...]:
        """Every usable candidate, in order of site and key."""
        return tuple(self.option(candidate) for candidate in self.fit.usable)

    @cached_property
    def _at(self) -> Mapping[str, tuple[Option, ...]]:
        return {
            site.site.id: tuple(option for option in self.options if option.site == site.site.id)
            for site in self.fit.sites
        }

    def options_at(self, site: str) -> tuple[Option, ...]:
        """The options of one site, in order of key."""
        return self._at[site]

    @cached_property
    def mirrors(self) -> Mapping[str, str]:
        """Each site that has a mirror on the other side of the jaw, with it."""
        return mirrored([site.site for site in self.fit.sites], self.layout.base)

    @cached_property
    def per_day(self) -> Interval:
        """Times a day that the denture is put in."""
        given = self.case.wanted.insertions_per_day
        return USUAL_INSERTIONS_PER_DAY if given is None else Interval(given, given)

    def retention_n(self, candidate: Candidate, condition: Condition) -> float:
        """What one part of a candidate holds, N."""
        return retention_n(candidate.attachment, condition, self.per_day, self.case.money.years)

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
        """What the regular visits and the denture itself cost over the years of the case, whatever is fitted."""
        visits = recall_cost(self.catalogue.defaults.recall, self.case.money.years, self.purse)
        return sum((self.denture_cost(due) for due in self.catalogue.defaults.denture), visits)

    def denture_cost(self, due: Service) -> Cost:
        """What one thing that the denture takes costs over the years of the case."""
        return recall_cost(due, self.case.money.years, self.purse)

    def years_cost_of(self, mix: Sequence[Candidate]) -> Cost:
        """Cost of a mix over the years of the case: fitting, renewals, visits and the denture."""
        return sum((self.upkeep_of(c) for c in mix), self.cost_of(mix) + self.recalls)


def problem_of(case: Case, catalogue: Catalogue, fitted: Fit | None = None) -> Problem:
    """Prepare a case; raises `NoExchange` where its currency cannot be reached from the catalogue's.

    What is `fitted` already is not judged again.
    """
    purse = purse_of(case, catalogue)
    settling = case.denture.settling_mm
    sinks_mm = settling.high if settling.known else getattr(catalogue.defaults.settling_mm, case.arch)
    charges = {r.id: rework_cost(r, purse) for r in catalogue.reworks.values() if r.once}
    bare = Problem(case, catalogue, purse, fitted or fit(case, catalogue, purse), (), charges, sinks_mm)
    return with_rules(bare)


def with_rules(problem: Problem) -> Problem:
    """The problem with the rules that follow from its case, its catalogue and what fits."""
    case, catalogue = problem.case, problem.catalogue
    asked = (*rules_of(case, catalogue, problem.purse), *_uncovered(problem.fit))
    bare = replace(problem, rules=asked)
    best = best_shares(bare.layout, [option for option in bare.options if not option.needs_waived])
    return replace(
        problem,
        rules=(*asked, *promises(case, catalogue, "usual", best)),
        stopgap=promises(case, catalogue, "stopgap", best),
        preferences=preferences(case, catalogue),
    )


def _uncovered(fitted: Fit) -> Iterator[Covered]:
    """The bar ends that stand too high to be left bare, or may do: leaving one is an option with a question."""
    for found in fitted.sites:
        if found.bare is not None and found.bare.verdict is not Verdict.HOLDS:
            yield Covered(found.site.id, found.bare.short_by, found.bare.verdict is Verdict.SHORT)
