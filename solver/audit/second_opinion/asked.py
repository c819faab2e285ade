"""What is asked of a mix as a whole, and what giving it up weighs: case, tiers and hands read once more."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from solver.audit.second_opinion.world import World
from solver.case.schema import PULLS, PullName

Tier: TypeAlias = Literal["usual", "stopgap"]

SEVERITY = {
    "budget": 1, "allowed": 2, "peel": 3, "level": 3, "stopgap": 3, "pulls": 3, "spread": 3, "even": 3, "need": 4,
    "cover": 4, "borne": 4, "supports": 4, "moves": 5, "unsplint": 5,
    "firm-bar": 1, "lined": 4,
}  # fmt: skip
"""As in solver.case.rule_set: our own order."""

BY_AMOUNT = frozenset({"budget", "peel", "pulls", "stopgap", "need"})
"""Kinds of rule that weigh more the farther they are missed."""

PINCH_N = {59: (50.0, 73.0), 75: (43.0, 56.0)}
"""Pinch of women to 59 and from 75, N: tip and key, as in solver.case.hand_strength, where the source stands."""

RHEUMATOID = (0.39, 0.56)
FRICTION = (0.3, 0.5)


class Floor(NamedTuple):
    """A pull that is to be taken; `tier` is empty where the case itself asks it, `worn` until the first renewal."""

    pull: PullName
    least_n: float
    tier: Literal["", "usual", "stopgap"] = ""
    worn: bool = False

    @property
    def code(self) -> str:
        """The rule: a stopgap's has a name of its own."""
        return f"{'stopgap' if self.tier == 'stopgap' else 'pulls'}:{self.pull}"

    @property
    def condition(self) -> str:
        """How old the parts are."""
        return "worn" if self.worn else "new"


class Asked:
    """The limits of one case."""

    def __init__(self, world: World) -> None:
        case, usual = world.case, world.catalogue.defaults.tiers.usual
        self._world = world
        self.level_n = case.wanted.level_n or 0.0
        self.peel_n = _hand_n(world) if case.wanted.most_n is None else case.wanted.most_n
        self.spread, self.even = usual.spread.value, usual.even.value
        self.in_kind = world.catalogue.defaults.preferences.in_kind.value
        self.shares = {name: share for name, share in case.wanted.movement.items() if share > 0}
        self.alone_on = {"lower": 2, "upper": 4}[case.arch]
        self.bar_bears = bool(case.segments) and len(case.supports) >= 4
        bearing = {name for part in case.segments.values() for name in part.between} | {
            part.on for part in case.ends.values()
        }
        self.shaky = any(case.supports[name].mobility == "loose" for name in bearing)
        self.splint = case.arch == "upper" and bool(case.segments)
        self._told: dict[PullName, float] = dict(case.wanted.pull_n)
        if case.wanted.hold_n is not None and "centre" not in self._told:
            self._told["centre"] = case.wanted.hold_n
        usual_alone = {floor.code for floor in self.floors("usual") if floor.tier}
        self._promises = frozenset({"spread", "even"} | usual_alone)

    def floors(self, *tiers: Tier) -> tuple[Floor, ...]:
        """The pulls that the case asks, and those of the tiers that it says nothing of."""
        asked = [Floor(name, self._told[name]) for name in PULLS if self._told.get(name, 0.0) > 0]
        for tier in tiers:
            asked += [floor for floor in self._promised(tier) if floor.pull not in self._told and floor.least_n > 0]
        return tuple(asked)

    def _promised(self, tier: Tier) -> tuple[Floor, ...]:
        tiers = self._world.catalogue.defaults.tiers
        kept = tiers.stopgap if tier == "stopgap" else tiers.usual
        sides_n = kept.sides_n.value
        if tier == "usual" and len(self._world.case.supports) >= tiers.usual.many_supports.value:
            sides_n = tiers.usual.sides_many_n.value
        worn = tier == "usual" and tiers.usual.until_renewal
        least: dict[PullName, float] = {
            "centre": kept.centre_n.value, "front": kept.front_n.value, "left": sides_n, "right": sides_n,
        }  # fmt: skip
        return tuple(Floor(name, n, tier, worn) for name, n in least.items())

    @property
    def saves(self) -> dict[str, Fraction]:
        """What a mix must save that goes without a preference, by its code."""
        figures = self._world.catalogue.defaults.preferences
        unlike, cut = figures.alike_saves.value, figures.whole_bar_saves.value
        three = figures.three_points_saves.value if figures.three_points_saves and self._world.case.ends else 0.0
        wanted = {"alike": unlike, "one-kind": unlike, "three-points": three, "whole-bar": cut}
        return {code: Fraction(str(share)) for code, share in wanted.items() if share > 0}

    def weighs(self, code: str, percent: int) -> int:
        """What giving up a rule weighs that is missed by so much of its limit."""
        return self.severity(code) * (1 if code in self._promises else 1000) * (100 + percent)

    def severity(self, code: str) -> int:
        """The case's own weight for a code or its kind, else ours."""
        kind = code.split(":", maxsplit=1)[0]
        own = {
            {"pull": "peel", "hold": "pulls"}.get(of, of): weight for of, weight in self._world.case.severity.items()
        }
        if kind == "stopgap" and "pulls" in own:
            kind = code = "pulls"
        return int(own.get(code, own.get(kind, SEVERITY[kind])))


def percent(missing: float, limit: float) -> int:
    """A shortfall in whole per cent of its limit, rounded up, a thousand at most; 0 where there is no limit."""
    return min(1000, max(0, ceil(100 * round(missing, 6) / limit - 1e-4))) if limit > 0 else 0


def _hand_n(world: World) -> float | None:
    """What the hands that take it out manage; None where nothing is known of them."""
    patient, hands = world.case.patient, world.catalogue.defaults.pull_n
    carer = patient.takes_out == "carer"
    hand = "usual" if carer and patient.hand == "unknown" else patient.hand
    if hand == "unknown":
        return None
    share = RHEUMATOID if hand == "weak" else (1.0, 1.0)
    own, oldest = (
        sum(rub * pinch * left for rub, pinch, left in zip(FRICTION, pinches, share, strict=True))
        for pinches in (_pinch_n(59 if carer else patient.age), PINCH_N[75])
    )
    return round(float(getattr(hands, hand)) * own / oldest, 6)


def _pinch_n(age: int | None) -> list[float]:
    """Pinch of an age in years, steady to 59 and from 75, even between; not known counts as oldest."""
    (young, firm), (old, weak) = PINCH_N.items()
    years = np.clip(old if age is None else age, young, old)
    return [float(np.interp(years, (young, old), ends)) for ends in zip(firm, weak, strict=True)]
