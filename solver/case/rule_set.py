"""Which rules bind a case: what it asks, what its tier promises, and what is preferred among plans that keep both.

Severity orders waivers: the lower, the easier. What a mix misses weighs its severity, and more the farther it
overshoots: 48 N where 15 N are asked is not the easiest to give up.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Literal, TypeAlias

from catalogue.blocks import Permission
from catalogue.models import Catalogue
from catalogue.tiers import Stopgap
from solver.case.hand_strength import most_pull_n
from solver.case.money import Purse
from solver.case.retention import Condition
from solver.case.rules import (
    Alike,
    BestShares,
    Borne,
    Budget,
    EnoughSupports,
    Even,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NeedHolds,
    NoFight,
    NotAllowed,
    OneKind,
    Peel,
    Preference,
    Pulls,
    Rule,
    Shortfall,
    Spread,
    ThreePoints,
    Unsplint,
    WholeBar,
)
from solver.case.schema import DEMANDS, PULLS, Case, PullName
from solver.case.sites import loose_under_the_bar

TierName: TypeAlias = Literal["stopgap", "usual", "firm"]

PERMISSIONS: tuple[Permission, ...] = ("send_out", "weld", "cut_bar", "bar_off", "new_bar")

FLOORS: tuple[PullName, ...] = ("centre", "left", "right", "front")
"""The pulls that a tier asks; both heels at once are told, and asked where a case does."""

LEAST_SUPPORTS = {"lower": 2, "upper": 4}
"""Supports that single attachments want: lower two (McGill 2002, York 2009, second-hand), upper four (Sadowsky and
Zitzmann 2016, abstract)."""

SPLINTED = 4
"""Splinted supports that bear a denture by themselves (common practice, no source)."""

SEVERITY = {
    "budget": 1,
    "firm-bar": 1,
    "allowed": 2,
    "peel": 3,
    "level": 3,
    "stopgap": 3,
    "pulls": 3,
    "spread": 3,
    "even": 3,
    "need": 4,
    "cover": 4,
    "borne": 4,
    "supports": 4,
    "lined": 4,
    "moves": 5,
    "unsplint": 5,
}
"""How hard it is to give a rule up: our own order (no source); a case can override it."""

OF_A_TIER = 1
"""Weight of a promise of the usual tier beside `HEAVY` for all else: a stopgap gives up nothing but these."""
HEAVY = 1000

MOST_OVERSHOOT = 1000
"""Per cent of its limit beyond which missing a rule weighs no more."""

WITHIN_PER_CENT = 1e-4
"""What rounding may take of a per cent before the next one counts."""


def rules_of(case: Case, catalogue: Catalogue, purse: Purse) -> tuple[Rule, ...]:
    """Return what the case asks of every mix whatever the tier, in a fixed order."""
    wanted = case.wanted
    rules: list[Rule] = []
    if case.money.cap is not None:
        rules.append(Budget(purse.minor(case.money.cap)))
    rules.append(Held())
    if wanted.level_n:
        rules.append(LevelPull(wanted.level_n))
    rules += [Pulls(name, least) for name, least in _wanted_pulls(case).items() if least > 0]
    if peel := _peel(case, catalogue):
        rules.append(peel)
    rules += [Moves(d, share) for d in DEMANDS if (share := wanted.movement.get(d, 0.0)) > 0]
    rules += [NoFight(demand) for demand in DEMANDS]
    rules.append(Borne(len(case.supports), SPLINTED, splinted=bool(case.segments)))
    rules.append(EnoughSupports(LEAST_SUPPORTS[case.arch]))
    rules += [NotAllowed(p) for p in PERMISSIONS if not getattr(case.allowed, p)]
    if case.arch == "upper" and case.segments:
        rules.append(Unsplint(len(case.supports)))
    if loose := loose_under_the_bar(case):
        rules.append(FirmBar(loose))
    if case.segments and any(each.kind == "lining" for each in catalogue.attachments.values()):
        rules.append(LinedAlone())
    return tuple(rules)


def promises(
    case: Case, catalogue: Catalogue, tier: Literal["stopgap", "usual"], best: BestShares
) -> tuple[Rule, ...]:
    """Return what a tier asks beyond the case; a pull that the case itself asks is not asked again.

    `best` are the largest shares of all retention that the weaker side could take at the places of the case.
    """
    tiers = catalogue.defaults.tiers
    if tier == "stopgap":
        return tuple(_floors(case, tiers.stopgap, tiers.stopgap.sides_n.value, "stopgap", Condition.NEW))
    usual = tiers.usual
    many = len(case.supports) >= usual.many_supports.value
    sides_n = usual.sides_many_n if many else usual.sides_n
    condition = Condition.WORN if usual.until_renewal else Condition.NEW
    rules: list[Rule] = list(_floors(case, usual, sides_n.value, "usual", condition))
    if usual.spread.value > 0:
        rules.append(Spread(usual.spread.value, best, usual.spread.source))
    if usual.even.value > 0:
        rules.append(Even(usual.even.value, usual.even.source))
    return tuple(rules)


def preferences(case: Case, catalogue: Catalogue) -> tuple[Preference, ...]:
    """Return what is preferred among plans that keep every rule, unless giving it up saves enough."""
    figures = catalogue.defaults.preferences
    found: list[Preference] = []
    if figures.alike_saves.value > 0:
        found.append(Alike(figures.alike_saves.value, figures.alike_saves.source))
        found.append(OneKind(figures.alike_saves.value, figures.alike_saves.source))
    three = figures.three_points_saves
    if case.ends and three and three.value > 0:
        found.append(ThreePoints(three.value, three.source))
    if figures.whole_bar_saves.value > 0:
        found.append(WholeBar(figures.whole_bar_saves.value, figures.whole_bar_saves.source))
    return tuple(found)


def of_usual_tier(rule: Rule) -> bool:
    """Return True for what only the usual tier promises: a stopgap goes without."""
    return isinstance(rule, Spread | Even) or (isinstance(rule, Pulls) and rule.tier == "usual")


def severity(rule: Rule, case: Case) -> int:
    """Weight of giving a rule up: the case's own for its code, else for its kind, else ours for the kind."""
    kind = rule.code.partition(":")[0]
    own: dict[str, int] = {RENAMED.get(str(of), str(of)): weight for of, weight in case.severity.items()}
    if kind == "stopgap" and "pulls" in own:
        return own["pulls"]
    return own.get(rule.code, own.get(kind, SEVERITY[kind]))


RENAMED = {"pull": "peel", "hold": "pulls"}
"""Names that older case files give to a rule."""


def weight_of(rule: Rule, case: Case) -> int:
    """Return what one per cent of overshoot weighs; giving the rule up at all weighs a hundred times as much."""
    return severity(rule, case) * (OF_A_TIER if of_usual_tier(rule) else HEAVY)


def overshoot_percent(rule: Rule, missed: Shortfall, waivable_by: float = 0.0) -> int:
    """Return by how much a rule is missed, in whole per cent of its limit, rounded up; 0 for a rule of yes or no.

    For a need the limit is what may be waived at most.
    """
    if not rule.weighed:
        return 0
    limit = waivable_by if isinstance(rule, NeedHolds) else missed.want
    if limit <= 0:
        return 0
    return min(MOST_OVERSHOOT, max(0, ceil(100 * missed.amount / limit - WITHIN_PER_CENT)))


def _wanted_pulls(case: Case) -> dict[PullName, float]:
    """The pulls that the case itself asks, nought where it says that none is asked; `hold_n` is the centre's."""
    own = dict(case.wanted.pull_n)
    if case.wanted.hold_n is not None:
        own.setdefault("centre", case.wanted.hold_n)
    return {name: own[name] for name in PULLS if name in own}


def _floors(
    case: Case, tier: Stopgap, sides_n: float, name: Literal["stopgap", "usual"], condition: Condition
) -> Iterator[Pulls]:
    asked = _wanted_pulls(case)
    figures = {
        "centre": (tier.centre_n.value, tier.centre_n.source),
        "left": (sides_n, tier.sides_n.source),
        "right": (sides_n, tier.sides_n.source),
        "front": (tier.front_n.value, tier.front_n.source),
    }
    for pull in FLOORS:
        least_n, source = figures[pull]
        if pull not in asked and least_n > 0:
            yield Pulls(pull, least_n, condition, name, source)


def _peel(case: Case, catalogue: Catalogue) -> Peel | None:
    if case.wanted.most_n is not None:
        return Peel(case.wanted.most_n)
    hands = catalogue.defaults.pull_n
    most_n = most_pull_n(hands, case.patient)
    return None if most_n is None else Peel(round(most_n, 6), assumed=True, source=hands.source)
