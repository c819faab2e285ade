"""The verdict on one need of one candidate: holds, ask, short or fails, and by how much."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from catalogue.blocks import Need, Waiver
from catalogue.quantities import QUANTITIES
from solver.case.measure import Measure
from solver.case.sites import Fact, known

# Measures come from instruments that show hundredths of a millimetre; less than this is no shortfall.
TOLERANCE = 1e-6

STRENGTH = "strength"
"""What it is of whether a bar bears the bite once it is cut: no quantity of a site, and never waived."""


class Verdict(IntEnum):
    """From good to bad; the verdict of several needs is the worst of them."""

    HOLDS = 0
    ASK = 1
    SHORT = 2
    FAILS = 3

    def __str__(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Judgement:
    """One need judged at one site.

    `short_by` is what the measured value misses the need by, in `unit`. `step` names the rework whose need it is,
    empty for the attachment's own. `waiver` tells how a person can live with it, None where it is physics.
    """

    of: str
    label: str
    have: Fact
    want: str
    verdict: Verdict
    short_by: float
    unit: str
    source: str
    waiver: Waiver | None = None
    step: str = ""
    why: str = ""
    hangs_on: tuple[str, ...] = ()
    """Facts of the site that would settle it where it is to be asked, if other than what it is of."""
    need: Need | None = None
    """The need as it stands in the catalogue; None for what is no need of a quantity."""

    @property
    def badness(self) -> tuple[int, float]:
        """Order of verdicts, then of amounts."""
        return int(self.verdict), self.short_by


def judge(need: Need, fact: Fact | None, step: str = "") -> Judgement:
    """Judge a need against what is known; a fact that the site does not have at all fails it."""
    if isinstance(fact, Measure):
        verdict, short_by = _number(need, fact)
    else:
        verdict, short_by = _word(need, fact), 0.0
    quantity = QUANTITIES[need.of]
    return Judgement(
        of=need.of,
        label=quantity.label,
        have=fact if fact is not None else "none",
        want=need.want,
        verdict=verdict,
        short_by=short_by,
        unit=quantity.unit,
        source=need.source,
        waiver=need.waive,
        step=step,
        why=need.why or "",
        need=need,
    )


def _number(need: Need, measure: Measure) -> tuple[Verdict, float]:
    """A need inside the measuring error is a question, not a pass."""
    if not measure.known:
        return Verdict.ASK, 0.0
    least = float("-inf") if need.at_least is None else need.at_least
    most = float("inf") if need.at_most is None else need.at_most
    if measure.low >= least - TOLERANCE and measure.high <= most + TOLERANCE:
        return Verdict.HOLDS, 0.0
    if measure.high < least - TOLERANCE or measure.low > most + TOLERANCE:
        missing = round(max(least - (measure.value or 0), (measure.value or 0) - most), 9)
        waivable = need.waive is not None and missing <= need.waive.up_to + TOLERANCE
        return (Verdict.SHORT if waivable else Verdict.FAILS), missing
    return Verdict.ASK, 0.0


def _word(need: Need, word: str | None) -> Verdict:
    if word is None:
        return Verdict.FAILS
    if not known(word):
        return Verdict.ASK
    if word in need.one_of:
        return Verdict.HOLDS
    return Verdict.SHORT if need.waive is not None else Verdict.FAILS
