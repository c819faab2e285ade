"""One mix worked out, once: what it costs, holds, lets move and loads, what it keeps and what it gives up.

Every part is computed when it is first read and kept, so a search may make thousands of these and read two figures
of each. `assess` is the one way to make one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from catalogue.blocks import Waiver
from catalogue.quantities import QUANTITIES
from solver.assess.cautions import Caution, cautions
from solver.assess.loads import Loads, loads_on
from solver.assess.mirror import Unlike, unlike
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.assess.remarks import Remark, remarks
from solver.assess.years import Aftercare, aftercare
from solver.case.money import Cost
from solver.case.retention import Condition
from solver.case.rule_set import overshoot_percent, weight_of
from solver.case.rules import NeedHolds, Preference, Rule, Shortfall, waivable
from solver.case.schema import DemandName, PullName
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import Judgement, Verdict
from solver.mechanics.freedom import FreedomUse, Level
from solver.mechanics.insertion import Insertion, insertion
from solver.mechanics.movement import Reach
from solver.mechanics.option import Option
from solver.mechanics.pulls import PullHold
from solver.mechanics.verdicts import DemandVerdict, MovementVerdict


class Status(Enum):
    """`fits` as measured; `fits-if` some answers come out well; `relaxed`: only with something given up.

    `too-little-known`: it might fit, but next to nothing that decides it is measured.
    """

    FITS = "fits"
    FITS_IF = "fits-if"
    TOO_LITTLE_KNOWN = "too-little-known"
    RELAXED = "relaxed"
    NONE = "none"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class GivenUp:
    """One rule given up: `have` where `want` was asked, missing `amount`, all in `unit` (minor units for money).

    A rule of yes or no has no numbers. `waiver` is the catalogue's advice for a need; `percent` by how much of its
    limit the rule is missed, `weight` what that counts against the mix.
    """

    rule: Rule
    amount: float = 0.0
    have: float = 0.0
    want: float = 0.0
    unit: str = ""
    waiver: Waiver | None = None
    percent: int = 0
    weight: int = 0


@dataclass(frozen=True, eq=False)
class Assessment:
    """A mix in order of site against the rules of its problem."""

    problem: Problem
    mechanics: Mechanics
    options: tuple[Option, ...]

    @cached_property
    def mix(self) -> tuple[Candidate, ...]:
        """What is fitted where."""
        return tuple(option.candidate for option in self.options)

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """The keys of what is fitted."""
        return tuple(candidate.key for candidate in self.mix)

    # Money

    @cached_property
    def cost(self) -> Cost:
        """Cost of fitting."""
        return self.problem.cost_of(self.mix)

    @cached_property
    def cost_years(self) -> Cost:
        """Cost over the years of the case."""
        return self.problem.years_cost_of(self.mix)

    def paid(self, least: Least) -> Cost:
        """The cost that is made least."""
        return self.cost if least == "now" else self.cost_years

    # Hold

    @cached_property
    def low_n(self) -> float:
        """All retentions at their low end: what a level pull in a test rig takes, N."""
        return sum(c.low_n for c in self.mix)

    @cached_property
    def high_n(self) -> float:
        """All retentions at their high end, N."""
        return sum(c.high_n for c in self.mix)

    @cached_property
    def pulls(self) -> tuple[PullHold, ...]:
        """What every pull takes at the low end of every retention."""
        return self.mechanics.pulls(self.options)

    def hold_n(self, pull: PullName, condition: Condition = Condition.NEW) -> float:
        """What one pull takes, N."""
        return self.mechanics.pull(self.options, pull, condition).hold_n

    @cached_property
    def weakest(self) -> PullHold:
        """The pull that takes least of those that a tier asks."""
        return min(self.mechanics.floors(self.options), key=lambda pull: round(pull.hold_n, 6))

    @property
    def weaker_side_n(self) -> float:
        """The pull of the side that takes less, N."""
        return min(self.hold_n("left"), self.hold_n("right"))

    @property
    def stronger_side_n(self) -> float:
        """The pull of the side that takes more, N."""
        return max(self.hold_n("left"), self.hold_n("right"))

    @cached_property
    def peel_n(self) -> float:
        """Pull at the easiest edge with every retention at its high end, N."""
        return self.mechanics.peel(self.options).hold_n

    # Movement

    @cached_property
    def reaches(self) -> tuple[Reach, ...]:
        """The share of every demand that is reached."""
        return self.mechanics.reaches(self.options)

    def reach(self, demand: DemandName) -> float:
        """The share of one demand that is reached."""
        return next(r.reach for r in self.reaches if r.demand == demand)

    @cached_property
    def verdicts(self) -> tuple[DemandVerdict, ...]:
        """Moves, bottoms, stands or fights, for every demand."""
        return self.mechanics.verdicts(self.options)

    def fights(self, demand: DemandName) -> bool:
        """True if parts fight each other in a demand."""
        return self.mechanics.fights(self.options, demand)

    @cached_property
    def stands_throughout(self) -> bool:
        """True if no part gives in any demand: the supports bear the denture."""
        return bool(self.mix) and all(v.verdict is MovementVerdict.STANDS for v in self.verdicts)

    @cached_property
    def level(self) -> Level:
        """The movement that is left, on the published scale."""
        return self.mechanics.level(self.options)

    @cached_property
    def freedoms(self) -> tuple[FreedomUse, ...]:
        """How much of the freedom of each part the rest of the mix leaves."""
        return self.mechanics.freedoms(self.options)

    @cached_property
    def insertion(self) -> Insertion | None:
        """The common path of insertion."""
        return insertion(self.problem.case, self.problem.layout.out, self.mix)

    # Bar and supports

    @cached_property
    def takes_bar_off(self) -> bool:
        """True if it stands on supports that the bar has left."""
        return any(c.takes_bar_off for c in self.mix)

    @cached_property
    def supports_used(self) -> int:
        """Supports that carry a single attachment."""
        return sum(1 for c in self.mix if c.site.kind == "support")

    @cached_property
    def loads(self) -> Loads:
        """What a bite puts on supports and bar."""
        return loads_on(self.problem, self.mix)

    # Years

    @cached_property
    def aftercare(self) -> Aftercare:
        """Wear, renewals and visits over the years of the case."""
        return aftercare(self.problem, self.mix)

    # What is said of it

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What must be known before work starts."""
        return tuple(dict.fromkeys(q for c in self.mix for q in c.questions))

    @cached_property
    def remarks(self) -> tuple[Remark, ...]:
        """Published facts beside the plan."""
        sites = [fitted.site for fitted in self.problem.fit.sites]
        return remarks(self.problem.case, self.problem.catalogue, self.mix, sites)

    @cached_property
    def cautions(self) -> tuple[Caution, ...]:
        """Everything to be careful of."""
        return cautions(self.problem.case, self.problem.catalogue, self.mix, self.loads.bar)

    @cached_property
    def unlike(self) -> tuple[Unlike, ...]:
        """Mirror sites that both can take a part and do not carry the same."""
        return unlike(self.problem, self.options)

    # Rules

    @cached_property
    def broken(self) -> tuple[Rule, ...]:
        """The rules that the mix breaks, those of needs at sites last."""
        needed = (rule for option in self.options for rule in option.needs_waived)
        return tuple(rule for rule in dict.fromkeys((*self.problem.rules, *needed)) if not rule.kept(self))

    @cached_property
    def against(self) -> tuple[Rule, ...]:
        """What the mix breaks and nobody may give up."""
        return tuple(rule for rule in self.broken if not waivable(rule))

    @cached_property
    def given_up(self) -> tuple[GivenUp, ...]:
        """What a person would have to give up for the mix, each with its amount, in order of code."""
        return tuple(
            sorted((self.missed(rule) for rule in self.broken if waivable(rule)), key=lambda each: each.rule.code)
        )

    @cached_property
    def weight(self) -> int:
        """What all that is given up weighs: severities, and more the farther limits are overshot."""
        return sum(each.weight for each in self.given_up)

    @cached_property
    def weight_below(self) -> int:
        """The same with the promise of a stopgap, which counts where that of the usual tier is given up."""
        return self.weight + sum(self.missed(rule).weight for rule in self.problem.stopgap if not rule.kept(self))

    @cached_property
    def unpreferred(self) -> tuple[Preference, ...]:
        """The preferences that the mix does not keep."""
        return tuple(rule for rule in self.problem.preferences if not rule.kept(self))

    def missed(self, rule: Rule) -> GivenUp:
        """Return by how much the mix misses a rule."""
        found: Shortfall = rule.shortfall(self)
        waiver, percent = None, overshoot_percent(rule, found)
        if isinstance(rule, NeedHolds):
            worst = self.worst_short(rule.site, rule.of)
            waiver = worst.waiver if worst else None
            percent = max((option.short_percent.get(rule, 0) for option in self.options), default=0)
        weight = weight_of(rule, self.problem.case) * (100 + percent)
        return GivenUp(rule, found.amount, found.have, found.want, found.unit, waiver, percent, weight)

    def worst_short(self, site: str, of: str) -> Judgement | None:
        """The need of a quantity at a site that is short by most."""
        judged = (j for c in self.mix if c.site.id == site for j in c.judgements)
        short = (j for j in judged if j.of == of and j.verdict is Verdict.SHORT)
        return max(short, key=lambda j: j.short_by, default=None)

    @property
    def status(self) -> Status:
        """How the mix stands to the case."""
        if self.against:
            return Status.NONE
        if self.given_up:
            return Status.RELAXED
        if not self.questions:
            return Status.FITS
        return Status.TOO_LITTLE_KNOWN if self.little_known else Status.FITS_IF

    @cached_property
    def little_known(self) -> bool:
        """True if three answers or more are open, and less than a third of what its needs ask was measured or named.

        Both are chosen, no source.
        """
        asked = {
            (c.site.id, j.of): j.verdict is not Verdict.ASK
            for c in self.mix
            for j in c.judgements
            if j.of in QUANTITIES and j.of != "length_mm" and not j.step
        }
        return len(self.questions) >= 3 and 3 * sum(asked.values()) < len(asked)


def assess(problem: Problem, mechanics: Mechanics, options: Iterable[Option]) -> Assessment:
    """Return a mix, ready to be worked out."""
    order = {site: number for number, site in enumerate(problem.site_ids)}
    return Assessment(problem, mechanics, tuple(sorted(options, key=lambda option: order[option.site])))
