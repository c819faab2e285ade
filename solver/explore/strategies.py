"""The ways out of a case side by side: keep the bar, single attachments on its supports, a new bar, no attachment.

The first two are planned, each with the other forbidden, and proved like any plan. The last two are only priced, by
the catalogue: no new bar is designed here, and a denture without attachments is judged as the empty mix.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from catalogue.blocks import Permission, WhatIf
from solver.assess.assessment import Assessment, GivenUp
from solver.assess.cautions import Caution, Hazard
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.case.rules import Budget, Held, NotAllowed, Rule, waivable
from solver.choose.check import check
from solver.choose.master import Outcome
from solver.choose.plan import verified
from solver.choose.search import Options, choose, choose_relaxed
from solver.fit.pricing import rework_cost


class Way(Enum):
    """The four ways; the value is the name in answers for machines."""

    KEEP = "keep-bar"
    OFF = "bar-off"
    NEW = "new-bar"
    NONE = "no-attachment"


class Standing(Enum):
    """OPEN: keeps every rule. WHAT_IF: open once `needs` are given up. CLOSED: against physics, or nothing fits."""

    OPEN = "open"
    WHAT_IF = "what-if"
    CLOSED = "closed"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Strategy:
    """One way out, best first within it.

    `plan` is None where nothing is planned (a new bar) or nothing can be. `cost_years` is None where the upkeep is
    not known. `needs` is what a person would have to allow or give up; `against` are broken rules that nobody can.
    """

    way: Way
    standing: Standing
    plan: Assessment | None = None
    cost: Cost | None = None
    cost_years: Cost | None = None
    needs: tuple[GivenUp, ...] = ()
    against: tuple[Rule, ...] = ()
    cautions: tuple[Caution, ...] = ()

    @property
    def reach(self) -> float | None:
        """The least share of any demand that is reached; None where nothing is planned."""
        return min(found.reach for found in self.plan.reaches) if self.plan else None


def strategies(problem: Problem, how: Options = Options()) -> tuple[Strategy, ...]:  # noqa: B008 - frozen
    """The four ways in a fixed order; a way that the catalogue does not price is left out."""
    until = time.monotonic() + how.time_limit_s
    mechanics, how = Mechanics(problem), replace(how, plans=1)
    on_supports = frozenset(c.key for c in problem.fit.usable if c.takes_bar_off)
    on_bar = frozenset(c.key for c in problem.fit.usable) - on_supports
    fitted = frozenset(c.key for c in problem.fit.usable if c.key in on_bar and c.attachment.kind != "bare")
    kept = _planned(problem, mechanics, Way.KEEP, how.left(until), forbid=on_supports, require=[fitted])
    off = _planned(problem, mechanics, Way.OFF, how.left(until), forbid=on_bar, require=[on_supports])
    priced = problem.catalogue.defaults
    new = [_new_bar(problem, priced.new_bar)] if priced.new_bar else []
    none = [_no_attachment(problem, priced.no_attachment)] if priced.no_attachment else []
    return (kept, off, *new, *none)


def _planned(
    problem: Problem,
    mechanics: Mechanics,
    way: Way,
    how: Options,
    forbid: Collection[str],
    require: Sequence[Collection[str]],
) -> Strategy:
    """The best mix of one way with something fitted; where it breaks rules, the one that gives up the least."""
    if not all(require):
        return Strategy(way, Standing.CLOSED)
    choice = choose(problem, mechanics, how, require=require, forbid=forbid)
    if choice.outcome is Outcome.INFEASIBLE:
        choice = choose_relaxed(problem, mechanics, how, require=require, forbid=forbid)
    if not choice.mixes:
        closed = choice.outcome is Outcome.INFEASIBLE
        return Strategy(way, Standing.CLOSED if closed else Standing.UNDECIDED)
    plan = verified(choice.mixes[0])
    return Strategy(
        way,
        Standing.WHAT_IF if plan.given_up else Standing.OPEN,
        plan,
        plan.cost,
        plan.cost_years,
        plan.given_up,
        cautions=plan.cautions,
    )


def _new_bar(problem: Problem, entry: WhatIf) -> Strategy:
    cost = rework_cost(entry, problem.purse)
    needs = (*_not_allowed(problem, "new_bar"), *_over_cap(problem, cost))
    standing = Standing.WHAT_IF if needs else Standing.OPEN
    return Strategy(Way.NEW, standing, cost=cost, needs=needs, cautions=_priced_cautions(problem, entry))


def _no_attachment(problem: Problem, entry: WhatIf) -> Strategy:
    """The empty mix, at the price of making the base go without."""
    found, cost = check(problem.case, problem.catalogue, {}), rework_cost(entry, problem.purse)
    against = tuple(rule for rule in found.broken if not waivable(rule) and not isinstance(rule, Held))
    needs = (*found.plan.given_up, *_over_cap(problem, cost))
    standing = Standing.CLOSED if against else Standing.WHAT_IF if needs else Standing.OPEN
    years = cost + problem.recalls
    return Strategy(
        Way.NONE, standing, found.plan, cost, years, needs, against, cautions=_priced_cautions(problem, entry)
    )


def _not_allowed(problem: Problem, permission: Permission) -> tuple[GivenUp, ...]:
    rule = NotAllowed(permission)
    return (GivenUp(rule),) if rule in problem.rules else ()


def _over_cap(problem: Problem, cost: Cost) -> tuple[GivenUp, ...]:
    caps = (rule for rule in problem.rules if isinstance(rule, Budget) and cost.high > rule.cap)
    return tuple(GivenUp(rule, cost.high - rule.cap, cost.high, rule.cap, "money") for rule in caps)


def _priced_cautions(problem: Problem, entry: WhatIf) -> tuple[Caution, ...]:
    invented = problem.case.invented or problem.catalogue.sources[entry.price.source].kind == "invented"
    own = tuple(Caution(None, text=text) for text in entry.cautions)
    return (*own, *((Caution(Hazard.INVENTED),) if invented else ()), Caution(Hazard.DECIDES))
