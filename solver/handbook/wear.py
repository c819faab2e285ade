"""Retention lost by taking a denture in and out, and what follows from it: months, renewals, survival.

Shares are fractions of one; a gain is a negative loss. Cycles and months meet in one place only, the
number of insertions per day, on which the literature does not agree: say which convention an answer uses.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from solver.handbook.checks import OutOfDomain, check_finite, check_not_negative, check_positive
from solver.handbook.sourced import Interval, Known, Sourced

STANDARD_GRAVITY = 9.80665
"""Newton per kilogram-force (exact, 3rd General Conference on Weights and Measures, 1901)."""

DAYS_PER_YEAR = 365.0
MONTHS_PER_YEAR = 12.0

ACCEPTABLE_PER_ATTACHMENT_N = Sourced(
    Interval(3.0, 7.0),
    "N",
    Known.PUBLISHED,
    "quoted by Bayer et al., Gerodontology, PubMed 21453418",
    "said there to rest on laboratory work; no upper limit for frail hands was found",
)


class WearLaw(StrEnum):
    """How a loss measured over some cycles is carried to another number of cycles.

    Neither is a law of nature; both pass through the figure that was measured. Within the cycles tested the
    geometric one is the gloomier, beyond them the linear one.
    """

    GEOMETRIC = "geometric"
    """Every cycle takes the same share of what is left."""
    LINEAR = "linear"
    """Every cycle takes the same share of the start, down to nothing."""


@dataclass(frozen=True, slots=True)
class CycleConvention:
    """Cycles that a study lets stand for a time of wear."""

    cycles: int
    years: float
    source: str
    known: Known = Known.PUBLISHED

    @property
    def insertions_per_day(self) -> float:
        """Insertions a day that the study implies (365 days a year)."""
        return self.cycles / (self.years * DAYS_PER_YEAR)


CYCLE_CONVENTIONS = (
    CycleConvention(540, 0.5, "de Sousa et al., Int J Prosthodont 2008;21:233-236"),
    CycleConvention(1080, 1.0, "El Naggar et al., Integr J Med Sci 2021;8"),
    CycleConvention(1095, 1.0, "J Prosthet Dent 2021, S0022-3913(21)00051-2"),
    CycleConvention(1440, 1.0, "Manimala et al., Online J Dent Oral Health 2021"),
    CycleConvention(2500, 2.0, "Kim et al., J Adv Prosthodont 2015;7(4)"),
    CycleConvention(2740, 1.5, "Abdel-Khalek and Ibrahim, J Indian Prosthodont Soc 2017;17:340-347"),
    CycleConvention(5400, 5.0, "Aroso et al., J Adv Prosthodont 2016;8(1)"),
    CycleConvention(5500, 5.0, "Reda et al., J Indian Prosthodont Soc 2016;16:380-385"),
    CycleConvention(5500, 3.0, "Walton and Ruse, J Prosthet Dent 1995;74:482-486"),
)


USUAL_INSERTIONS_PER_DAY = Interval(
    float(round(min(c.insertions_per_day for c in CYCLE_CONVENTIONS))),
    float(round(max(c.insertions_per_day for c in CYCLE_CONVENTIONS))),
)
"""Insertions a day where a case gives none: all that the studies above imply, since they do not agree."""


@dataclass(frozen=True, slots=True)
class Wear:
    """A loss of retention as measured: the share lost over a number of cycles, and the law to carry it on."""

    loss_share: float
    over_cycles: float
    law: WearLaw = WearLaw.GEOMETRIC

    def __post_init__(self) -> None:
        check_positive(over_cycles=self.over_cycles)
        check_finite(loss_share=self.loss_share)
        if self.loss_share >= 1.0:
            raise OutOfDomain("loss_share", self.loss_share, "must be below 1")

    @property
    def loss_per_cycle(self) -> float:
        """Share lost per cycle: of what is left (geometric) or of the start (linear)."""
        if self.law is WearLaw.LINEAR:
            return self.loss_share / self.over_cycles
        return -math.expm1(math.log1p(-self.loss_share) / self.over_cycles)

    def share_left(self, cycles: float) -> float:
        """Share of the start that is left after some cycles; above 1 where retention grew."""
        check_not_negative(cycles=cycles)
        if self.law is WearLaw.LINEAR:
            return max(0.0, 1.0 - self.loss_per_cycle * cycles)
        return float((1.0 - self.loss_share) ** (cycles / self.over_cycles))

    def retention_after_n(self, initial_n: float, cycles: float) -> float:
        """Retention left after some cycles."""
        check_not_negative(initial_n=initial_n)
        return initial_n * self.share_left(cycles)

    def cycles_to_floor(self, initial_n: float, floor_n: float) -> float:
        """Cycles until retention reaches the floor; 0 where it starts there, infinite where it never does."""
        check_not_negative(initial_n=initial_n)
        check_positive(floor_n=floor_n)
        if initial_n <= floor_n:
            return 0.0
        if self.loss_share <= 0.0:
            return math.inf
        if self.law is WearLaw.LINEAR:
            return (1.0 - floor_n / initial_n) / self.loss_per_cycle
        return self.over_cycles * math.log(floor_n / initial_n) / math.log1p(-self.loss_share)

    def months_to_floor(self, initial_n: float, floor_n: float, insertions_per_day: float) -> float:
        """Months of wear until retention reaches the floor; infinite where it never does."""
        return months(self.cycles_to_floor(initial_n, floor_n), insertions_per_day)


def months(cycles: float, insertions_per_day: float) -> float:
    """Months that a number of insertions takes; infinite for infinitely many."""
    check_positive(insertions_per_day=insertions_per_day)
    return cycles / insertions_per_day / DAYS_PER_YEAR * MONTHS_PER_YEAR


def renewals(years: float, interval_months: float) -> int:
    """Times a part is renewed within `years` when it is new at the start and lasts `interval_months`.

    A part that runs out as the time ends is not renewed; an infinite interval needs no renewal.

    Raises:
        OutOfDomain: for an interval not above zero, or years below zero.
    """
    check_not_negative(years=years)
    if not interval_months > 0.0:
        raise OutOfDomain("interval_months", interval_months, "must be above zero")
    lives = years * MONTHS_PER_YEAR / interval_months
    return max(0, math.ceil(lives - 1e-9) - 1)


def loss_share(before: float, after: float) -> float:
    """Share lost from one measurement to the next; negative where it grew."""
    check_positive(before=before)
    check_not_negative(after=after)
    return 1.0 - after / before


def initial_from_final_n(final_n: float, lost_share: float) -> float:
    """Retention at the start, from what is left and the share that was lost."""
    check_not_negative(final_n=final_n)
    if not lost_share < 1.0:
        raise OutOfDomain("lost_share", lost_share, "must be below 1")
    return final_n / (1.0 - lost_share)


def chained_loss_share(losses: Iterable[float]) -> float:
    """Total share lost by losses one after the other, each of what the last one left."""
    return 1.0 - math.prod(1.0 - loss for loss in losses)


def survival_share(losses_per_100_years: float, years: float) -> float:
    """Share that survives at a constant rate of loss, exp(-rate t); the rate is per 100 part-years.

    A rate for implants says nothing of attachments: do not mix them.
    """
    check_not_negative(losses_per_100_years=losses_per_100_years, years=years)
    return math.exp(-losses_per_100_years / 100.0 * years)


def newton_from_gram_force(force_gf: float) -> float:
    """Convert gram-force to newton."""
    return force_gf / 1000.0 * STANDARD_GRAVITY


def newton_from_kilogram_force(force_kgf: float) -> float:
    """Convert kilogram-force to newton."""
    return force_kgf * STANDARD_GRAVITY
