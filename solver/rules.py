"""The limits of a case that bind a mix as a whole, and what it would mean to give one up.

A rule knows its numbers and how a person may waive it; what it says to a reader is worded by the report from these
fields. A rule without `how` is physics or safety and is never waived. Severity orders waivers: the lower, the easier.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from catalogue.blocks import Permission
from catalogue.models import Catalogue
from solver.case import DEMANDS, PULLS, Case, DemandName, PullName
from solver.money import Purse

PERMISSIONS: tuple[Permission, ...] = ("send_out", "weld", "cut_bar", "bar_off", "new_bar")


@dataclass(frozen=True, slots=True, order=True)
class Budget:
    """The high end of the cost stays under the cap (minor units)."""

    cap: int
    code: Literal["budget"] = "budget"


@dataclass(frozen=True, slots=True, order=True)
class HoldFloor:
    """The retentions at their low end hold at least this much together, N."""

    least_n: float
    assumed: bool
    source: str
    code: Literal["hold"] = "hold"


@dataclass(frozen=True, slots=True, order=True)
class Held:
    """Something that is fitted holds the denture, however little: without it nothing was answered."""

    code: Literal["held"] = "held"


@dataclass(frozen=True, slots=True, order=True)
class HoldCeiling:
    """The retentions at their high end ask no more than the patient can pull, N."""

    most_n: float
    assumed: bool
    source: str
    code: Literal["pull"] = "pull"


@dataclass(frozen=True, slots=True, order=True)
class Moves:
    """The base reaches this share of a demand."""

    demand: DemandName
    share: float

    @property
    def code(self) -> str:
        """`moves:` and the demand."""
        return f"moves:{self.demand}"


@dataclass(frozen=True, slots=True, order=True)
class Pulls:
    """The denture takes this pull at a point of the base, at the low end of every retention, N."""

    pull: PullName
    least_n: float

    @property
    def code(self) -> str:
        """`pulls:` and the point."""
        return f"pulls:{self.pull}"


@dataclass(frozen=True, slots=True, order=True)
class NotAllowed:
    """A kind of work that the case does not allow."""

    permission: Permission

    @property
    def code(self) -> str:
        """`allowed:` and the kind of work."""
        return f"allowed:{self.permission}"


@dataclass(frozen=True, slots=True, order=True)
class NeedHolds:
    """A need at a site that is short by an amount a person may accept."""

    site: str
    of: str

    @property
    def code(self) -> str:
        """`need:`, site and quantity."""
        return f"need:{self.site}:{self.of}"


@dataclass(frozen=True, slots=True, order=True)
class Covered:
    """A bar end that stands too high to be left as it is, by `short_by_mm`; `thin` where a thin base would do."""

    site: str
    short_by_mm: float
    thin: bool

    @property
    def code(self) -> str:
        """`cover:` and the site."""
        return f"cover:{self.site}"


@dataclass(frozen=True, slots=True, order=True)
class Unsplint:
    """The bar keeps splinting the `supports` of an upper jaw.

    Bone there is commonly taken as about half as dense as in the lower jaw (common practice, no source). With fewer
    than four implants upper overdentures lose about three times as many: Kern et al., Clin Oral Implants Res
    2016;27:174-195 (read in the abstract; it is about the number of implants, not about splinting).
    """

    supports: int
    code: Literal["unsplint"] = "unsplint"

    @property
    def few(self) -> bool:
        """Fewer than four."""
        return self.supports < FEW_UPPER_SUPPORTS


FEW_UPPER_SUPPORTS = 4

Rule: TypeAlias = (
    Budget | HoldFloor | Held | HoldCeiling | Pulls | Moves | NotAllowed | NeedHolds | Covered | Unsplint
)

SEVERITY = {
    "budget": 1,
    "allowed": 2,
    "hold": 3,
    "pull": 3,
    "pulls": 3,
    "need": 4,
    "cover": 4,
    "moves": 5,
    "unsplint": 5,
}
"""How hard it is to give a rule up: our own order (no source); a case can override it."""


def waivable(rule: Rule) -> bool:
    """Safety, mechanics and the purpose stay; of the demands only the sinking of the whole base may be given up."""
    if isinstance(rule, Moves):
        return rule.demand == "whole"
    if isinstance(rule, Covered):
        return rule.thin
    return not isinstance(rule, Held)


def severity(rule: Rule, case: Case) -> int:
    """Weight of giving the rule up: the case's own for its code, else for its kind, else ours for the kind."""
    kind = rule.code.partition(":")[0]
    own: dict[str, int] = {str(of): weight for of, weight in case.severity.items()}
    return own.get(rule.code, own.get(kind, SEVERITY[kind]))


def rules_of(case: Case, catalogue: Catalogue, purse: Purse) -> tuple[Rule, ...]:
    """The rules that hold for every mix of this case, in a fixed order."""
    wanted, defaults = case.wanted, catalogue.defaults
    rules: list[Rule] = []
    if case.money.cap is not None:
        rules.append(Budget(purse.minor(case.money.cap)))
    floor = _floor(wanted.hold_n, defaults.hold_n.value, defaults.hold_n.source)
    rules += [floor, Held()]
    if wanted.most_n is not None:
        rules.append(HoldCeiling(wanted.most_n, False, ""))
    elif case.patient.hand != "unknown":
        rules.append(HoldCeiling(getattr(defaults.pull_n, case.patient.hand), True, defaults.pull_n.source))
    rules += [Pulls(name, least) for name in PULLS if (least := wanted.pull_n.get(name, 0.0)) > 0]
    rules += [Moves(d, share) for d in DEMANDS if (share := wanted.movement.get(d, 1.0)) > 0]
    rules += [NotAllowed(p) for p in PERMISSIONS if not getattr(case.allowed, p)]
    if case.arch == "upper" and case.segments:
        rules.append(Unsplint(len(case.supports)))
    return tuple(rules)


def _floor(wanted: float | None, default: float, source: str) -> HoldFloor:
    return HoldFloor(default, True, source) if wanted is None else HoldFloor(wanted, False, "")
