"""The limits of a case that bind a mix as a whole: one class a rule, which says itself whether a mix keeps it.

A rule knows its numbers, whether a person may give it up, by how much a mix misses it and where in the case it comes
from. How it is posted stands in `master`, how it is checked a second time in `verify`, its sentence in the words of
the trade. Adding a rule touches these and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal, NamedTuple, TypeAlias

from catalogue.blocks import Permission
from catalogue.yaml_text import Loc
from solver.case.origins import fact_origins
from solver.case.retention import Condition
from solver.case.schema import Case, DemandName, PullName
from solver.handbook.limits import reaches, stays_under

if TYPE_CHECKING:
    from solver.assess.assessment import Assessment


class BestShares(NamedTuple):
    """The best share that the weaker side could take, with the bar on and with it off; 0 where nothing fits."""

    bar_on: float
    bar_off: float


@dataclass(frozen=True, slots=True)
class Shortfall:
    """By how much a mix misses a rule: `have` where `want` is asked, both in `unit` (minor units for money).

    A rule of yes or no has no numbers.
    """

    have: float = 0.0
    want: float = 0.0
    unit: str = ""

    @property
    def amount(self) -> float:
        """What is missing, or too much."""
        return round(abs(self.want - self.have), 6)


NO_NUMBERS = Shortfall()


class _Rule:
    """What every rule answers."""

    __slots__ = ()
    waivable: ClassVar[bool] = True
    weighed: ClassVar[bool] = False
    """True if the search weighs by how much the rule is missed, not only whether."""

    def kept(self, mix: Assessment) -> bool:
        """Return True if a mix keeps the rule."""
        raise NotImplementedError

    def shortfall(self, mix: Assessment) -> Shortfall:
        """Return by how much a mix misses the rule."""
        del mix
        return NO_NUMBERS

    def origins(self, case: Case) -> tuple[Loc, ...]:
        """Return the keys of the case that the rule follows from, whether or not they stand in the file."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True, order=True)
class Budget(_Rule):
    """The high end of the cost stays under the cap (minor units)."""

    cap: int
    code: Literal["budget"] = "budget"
    weighed: ClassVar[bool] = True

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return mix.cost.high <= self.cap

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.cost.high, self.cap, "money")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("money", "cap"),)


@dataclass(frozen=True, slots=True, order=True)
class Pulls(_Rule):
    """The denture takes this pull at a point of the base, at the low end of every retention, N.

    `condition` WORN: still when the first renewal is due. `tier` names the promise that asks it, empty where the case
    does. The floor of a stopgap has a code of its own, for both may be asked of a mix at once.
    """

    pull: PullName
    least_n: float
    condition: Condition = Condition.NEW
    tier: Literal["", "stopgap", "usual"] = ""
    source: str = ""
    weighed: ClassVar[bool] = True

    @property
    def code(self) -> str:
        """`pulls:` (or `stopgap:`) and the point."""
        return f"{'stopgap' if self.tier == 'stopgap' else 'pulls'}:{self.pull}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return reaches(mix.hold_n(self.pull, self.condition), self.least_n)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.hold_n(self.pull, self.condition), self.least_n, "N")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        if self.pull == "centre" and "centre" not in case.wanted.pull_n and case.wanted.hold_n is not None:
            return (("wanted", "hold_n"),)
        return (("wanted", "pull_n", self.pull),)


@dataclass(frozen=True, slots=True, order=True)
class LevelPull(_Rule):
    """A level pull in a test rig takes at least this: the retentions at their low end together, N.

    Nobody pulls a denture level by hand: it is there for those who compare with figures of a bench.
    """

    least_n: float
    code: Literal["level"] = "level"
    weighed: ClassVar[bool] = True

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return reaches(mix.low_n, self.least_n)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.low_n, self.least_n, "N")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("wanted", "level_n"),)


@dataclass(frozen=True, slots=True, order=True)
class Held(_Rule):
    """Something that is fitted holds the denture, however little: without it nothing was answered."""

    code: Literal["held"] = "held"
    waivable: ClassVar[bool] = False

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return mix.low_n > 0

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("wanted", "hold_n"),)


@dataclass(frozen=True, slots=True, order=True)
class Peel(_Rule):
    """The patient lifts one edge: the easiest of front, left and right, every retention at its high end, N."""

    most_n: float
    assumed: bool = False
    source: str = ""
    code: Literal["peel"] = "peel"
    weighed: ClassVar[bool] = True

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return stays_under(mix.peel_n, self.most_n)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.peel_n, self.most_n, "N")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("patient", "hand"),) if self.assumed else (("wanted", "most_n"),)


@dataclass(frozen=True, slots=True, order=True)
class Spread(_Rule):
    """The weaker side takes this share of all retention (new, low end): hold that stands on both sides.

    `best` are the largest shares that retention at the places of this case could give; `share` of it is asked.
    """

    share: float
    best: BestShares
    source: str
    code: Literal["spread"] = "spread"

    def least(self, *, bar_off: bool) -> float:
        """Share of the sum that the weaker side must take."""
        return self.share * (self.best.bar_off if bar_off else self.best.bar_on)

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return reaches(mix.weaker_side_n, self.least(bar_off=mix.takes_bar_off) * mix.low_n)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        have = mix.weaker_side_n / mix.low_n if mix.low_n else 0.0
        return Shortfall(have, self.least(bar_off=mix.takes_bar_off), "share")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("wanted", "pull_n"),)


@dataclass(frozen=True, slots=True, order=True)
class Even(_Rule):
    """The weaker side takes at least this share of what the stronger one takes (new, low end)."""

    share: float
    source: str
    code: Literal["even"] = "even"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return reaches(mix.weaker_side_n, self.share * mix.stronger_side_n)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        stronger = mix.stronger_side_n
        return Shortfall(mix.weaker_side_n / stronger if stronger else 0.0, self.share, "share")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("wanted", "pull_n"),)


@dataclass(frozen=True, slots=True, order=True)
class Moves(_Rule):
    """The base reaches this share of a demand: asked only where the case asks it."""

    demand: DemandName
    share: float

    @property
    def code(self) -> str:
        """`moves:` and the demand."""
        return f"moves:{self.demand}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return reaches(mix.reach(self.demand), self.share)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.reach(self.demand), self.share, "share")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("wanted", "movement", self.demand), ("denture", "settling_mm"))


@dataclass(frozen=True, slots=True, order=True)
class NoFight(_Rule):
    """No part stops in a demand what another gives, and no two wedge each other."""

    demand: DemandName
    waivable: ClassVar[bool] = False

    @property
    def code(self) -> str:
        """`fights:` and the demand."""
        return f"fights:{self.demand}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not mix.fights(self.demand)

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return ()


@dataclass(frozen=True, slots=True, order=True)
class Borne(_Rule):
    """The mucosa bears the denture in some demand, unless `enough` splinted supports stand to bear it alone."""

    supports: int
    enough: int
    splinted: bool
    code: Literal["borne"] = "borne"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        on_bar = self.splinted and not mix.takes_bar_off
        return (on_bar and self.supports >= self.enough) or not mix.stands_throughout

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("supports",),)


@dataclass(frozen=True, slots=True, order=True)
class EnoughSupports(_Rule):
    """With the bar off at least this many supports are used: two in a lower jaw, four in an upper one."""

    least: int
    code: Literal["supports"] = "supports"
    weighed: ClassVar[bool] = True

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not mix.takes_bar_off or mix.supports_used >= self.least

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(mix.supports_used, self.least, "supports")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("arch",), ("supports",))


@dataclass(frozen=True, slots=True, order=True)
class NotAllowed(_Rule):
    """A kind of work that the case does not allow."""

    permission: Permission

    @property
    def code(self) -> str:
        """`allowed:` and the kind of work."""
        return f"allowed:{self.permission}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not any(self.permission in c.permissions for c in mix.mix)

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("allowed", self.permission),)


@dataclass(frozen=True, slots=True, order=True)
class NeedHolds(_Rule):
    """A need at a site that is short by an amount a person may accept."""

    site: str
    of: str
    weighed: ClassVar[bool] = True

    @property
    def code(self) -> str:
        """`need:`, site and quantity."""
        return f"need:{self.site}:{self.of}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not any((self.site, self.of) in c.waived for c in mix.mix)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        worst = mix.worst_short(self.site, self.of)
        return Shortfall(-worst.short_by, 0.0, worst.unit) if worst else NO_NUMBERS

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return fact_origins(case, self.site, self.of)


@dataclass(frozen=True, slots=True, order=True)
class Covered(_Rule):
    """A bar end that stands too high to be left as it is, by `short_by_mm`; `thin` where a thin base would do."""

    site: str
    short_by_mm: float
    thin: bool

    @property
    def code(self) -> str:
        """`cover:` and the site."""
        return f"cover:{self.site}"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return any(c.site.id == self.site or c.takes_bar_off for c in mix.mix)

    def shortfall(self, mix: Assessment) -> Shortfall:  # noqa: D102
        return Shortfall(-self.short_by_mm, 0.0, "mm")

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return fact_origins(case, self.site, "room_mm")


@dataclass(frozen=True, slots=True, order=True)
class Unsplint(_Rule):
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

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not mix.takes_bar_off

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("arch",),)


@dataclass(frozen=True, slots=True, order=True)
class FirmBar(_Rule):
    """No implant under a bar that stays is known to be loose: it is lost or will be, and the bar with it."""

    loose: tuple[str, ...]
    code: Literal["firm-bar"] = "firm-bar"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return mix.takes_bar_off

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return tuple(("supports", name, "mobility") for name in self.loose)


@dataclass(frozen=True, slots=True, order=True)
class LinedAlone(_Rule):
    """A lining is fitted by itself: it gives where a firm part beside it does not, and soon comes off at its edge."""

    code: Literal["lined"] = "lined"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return len({c.is_lining for c in mix.mix if c.parts}) <= 1

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return ()


@dataclass(frozen=True, slots=True, order=True)
class Alike(_Rule):
    """Mirror sites that both can take a part get the same part and rework: a preference, given up for a saving."""

    saves: float
    source: str
    code: Literal["alike"] = "alike"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not mix.unlike

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return ()


@dataclass(frozen=True, slots=True, order=True)
class WholeBar(_Rule):
    """A sound bar is not cut: a preference, given up for a saving, since what is cut off does not grow again."""

    saves: float
    source: str
    code: Literal["whole-bar"] = "whole-bar"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return not any(candidate.harms_bar for candidate in mix.mix)

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return ()


@dataclass(frozen=True, slots=True, order=True)
class OneKind(_Rule):
    """One kind of part throughout: a preference, given up for a saving: every kind is kept and renewed apart."""

    saves: float
    source: str
    code: Literal["one-kind"] = "one-kind"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        return len({candidate.attachment.id for candidate in mix.mix if candidate.parts}) <= 1

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return ()


@dataclass(frozen=True, slots=True, order=True)
class ThreePoints(_Rule):
    """Balls on the free ends of a bar are used, and a part between the supports makes three points of two.

    A preference, given up for a saving: it is asked only where the bar has free ends.
    """

    saves: float
    source: str
    code: Literal["three-points"] = "three-points"

    def kept(self, mix: Assessment) -> bool:  # noqa: D102
        kinds = [candidate.site.kind for candidate in mix.mix if candidate.parts]
        return mix.takes_bar_off or (len(kinds) >= THREE and {"end", "segment"} <= set(kinds))

    def origins(self, case: Case) -> tuple[Loc, ...]:  # noqa: D102
        return (("ends",),)


FEW_UPPER_SUPPORTS = 4
THREE = 3

Rule: TypeAlias = (
    Budget
    | Pulls
    | LevelPull
    | Held
    | Peel
    | Spread
    | Even
    | Moves
    | NoFight
    | Borne
    | EnoughSupports
    | NotAllowed
    | NeedHolds
    | Covered
    | Unsplint
    | FirmBar
    | LinedAlone
)
Preference: TypeAlias = Alike | OneKind | ThreePoints | WholeBar


def waivable(rule: Rule) -> bool:
    """Safety, mechanics and the purpose stay; of the demands only the sinking of the whole base may be given up."""
    if isinstance(rule, Moves):
        return rule.demand == "whole"
    if isinstance(rule, Covered):
        return rule.thin
    return rule.waivable
