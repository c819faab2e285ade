"""What mechanics holds against a mix, as cuts over all options: of one conflict many, wherever it repeats.

A `Cut` sums worths over the sites that a conflict touches. A `LinearCut` sums over all options: lift fields of pulls
and what is made of them. A `CoverCut` forbids too firm a mix: whatever can give the forces that held the edge down
holds it down as firmly. All are rounded to the side that cuts off nothing that is feasible, so a mix may be left on
the edge of one: a `MixCut` says of that mix what is so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from solver.case.rules import Rule

CUT_SCALE = 1_000_000
"""Cuts are rounded to this grain."""


@dataclass(frozen=True)
class Cut:
    """Sum over the touched sites of the picked option's worth, plus `constant`, is at least `least`.

    A site in `worth` where nothing is picked makes the cut slack. `together` are options proved to fail: rounding may
    leave them on the edge of the sum.
    """

    rule: Rule
    worth: Mapping[str, Mapping[int, float]]
    constant: float
    least: float
    together: tuple[int, ...] = ()

    @property
    def least_grains(self) -> int:
        """What the worths must sum to."""
        return math.floor((self.least - self.constant) * CUT_SCALE)

    @property
    def most_grains(self) -> int:
        """Worth of what makes the cut slack."""
        return math.ceil((self.least - self.constant) * CUT_SCALE)

    def grains(self, site: str, index: int) -> int:
        """Worth of an option, no more than what makes the cut slack."""
        return math.ceil(min(self.worth[site][index], self.least - self.constant) * CUT_SCALE)

    @property
    def alone(self) -> frozenset[int]:
        """Options that break the rule whatever stands elsewhere."""
        if len(self.worth) != 1:
            return frozenset()
        (here,), below = self.worth.values(), self.least_grains - 1
        return frozenset(i for i, worth in here.items() if worth * CUT_SCALE <= below).union(self.together)


@dataclass(frozen=True)
class LinearCut:
    """Sum over the picked options of their worth is at least `least`, and with `grip` the least pull of the mix.

    `rule` None: the cut belongs to the least pull itself. `slack_per_cent`: what each per cent of overshoot gives,
    for a rule that is weighed.
    """

    rule: Rule | None
    worth: Mapping[int, float]
    least: float = 0.0
    grip: bool = False
    slack_per_cent: float = 0.0


@dataclass(frozen=True)
class CoverCut:
    """Where every site of `covers` carries one of these options, the rule is missed by `per_cent` of its limit."""

    rule: Rule
    covers: Mapping[str, tuple[int, ...]]
    per_cent: int
    worth: Mapping[int, float] | None = None
    """With it: then the picked options must be worth `least` together."""
    least: float = 0.0


@dataclass(frozen=True)
class MixCut:
    """This mix, and no larger one, misses a rule by `per_cent` of its limit; without a rule `grip` is all it has.

    `grip`: the least pull in whole hundredths of a newton.
    """

    rule: Rule | None
    picked: tuple[int, ...]
    per_cent: int = 0
    grip: int = 0


AnyCut: TypeAlias = Cut | LinearCut | CoverCut | MixCut
