"""Measurements as the facts of a case: `1.8 +- 0.02`, a word, or `unknown` with the reason."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from catalogue.quantities import QUANTITIES
from solver.case.measure import UNKNOWN_WORD
from solver.scan.bar.ball import Ball
from solver.scan.bar.ends import End
from solver.scan.bar.segment import Segment, Summary
from solver.scan.bar.support import Support
from solver.scan.section.figure import Figure, Measured, Reason, Unknown, root_sum

Value: TypeAlias = str | float | tuple[float, float, float] | tuple[str, str]


@dataclass(frozen=True, slots=True)
class Fact:
    """What stands at a key of the case, and a remark beside it."""

    value: Value
    remark: str = ""

    @property
    def known(self) -> bool:
        """False for `unknown`."""
        return self.value != UNKNOWN_WORD


Facts: TypeAlias = dict[str, Fact]


def segment_facts(segment: Segment, trueness_mm: float) -> Facts:
    """Section, width, height, undercut (the lesser side), gap (the least) and usable length."""
    left, right = (_throughout(side) for side in (segment.undercut_left_mm, segment.undercut_right_mm))
    facts = {
        "width_mm": _throughout(segment.width_mm),
        "height_mm": _throughout(segment.height_mm),
        "undercut_mm": _lesser(left, right),
        "gap_mm": segment.gap_mm.least,
        "length_mm": segment.usable.length_mm if segment.usable else Unknown(Reason.NO_FIT),
    }
    section = Fact(str(segment.kind)) if segment.kind else Fact(UNKNOWN_WORD, Reason.NO_FIT)
    return {"section": section} | {name: figure_fact(name, figure, trueness_mm) for name, figure in facts.items()}


def end_facts(end: End, segment: Segment | None, trueness_mm: float) -> Facts:
    """Ball, neck, out-of-round, tilt; the gap where the end has a stretch of bar of its own."""
    ball = end.ball
    missing = ball if isinstance(ball, Unknown) else Unknown(Reason.NOT_COVERED)
    figures: dict[str, Measured] = {
        "ball_mm": ball.diameter_mm if isinstance(ball, Ball) else missing,
        "neck_mm": ball.neck_diameter_mm if isinstance(ball, Ball) else missing,
        "out_of_round_mm": ball.out_of_round_mm if isinstance(ball, Ball) else missing,
        "tilt_deg": ball.tilt_deg if isinstance(ball, Ball) else missing,
        "gap_mm": segment.gap_mm.least if segment else Unknown(Reason.NOT_COVERED),
    }
    facts = {name: figure_fact(name, figure, trueness_mm) for name, figure in figures.items()}
    if isinstance(ball, Ball) and isinstance(ball.worn_share, Figure) and ball.worn_share.low > 0:
        worn = f"worn on {100 * ball.worn_share.value:.0f} % of the retentive zone"
        facts["ball_mm"] = Fact(facts["ball_mm"].value, worn)
    return facts


def support_facts(support: Support | None, trueness_mm: float) -> Facts:
    """Tilt and diameter of the post where it is seen."""
    if support is None:
        return {}
    facts = {"tilt_deg": figure_fact("tilt_deg", support.tilt_deg, trueness_mm)}
    if isinstance(support.diameter_mm, Figure):
        facts["diameter_mm"] = Fact(round(support.diameter_mm.value, 2), "of the post, as scanned")
    return facts


def figure_fact(name: str, figure: Measured, trueness_mm: float) -> Fact:
    """A figure with its error and, for lengths, that of the scanner; `unknown` with the reason."""
    if isinstance(figure, Unknown):
        return Fact(UNKNOWN_WORD, figure.reason)
    error = root_sum(figure.error, trueness_mm) if name.endswith("_mm") else figure.error
    quantity = QUANTITIES[name]
    value = round(figure.value, 3) + 0.0
    if not math.isfinite(value) or not math.isfinite(error):
        return Fact(UNKNOWN_WORD, Reason.NOT_COVERED)
    if not quantity.least <= value <= quantity.most:
        return Fact(UNKNOWN_WORD, f"the scan says {value:g} {quantity.unit}, which no {quantity.label} can be")
    # rounded up, and by half a step of the value, so that the band as written still holds the one measured
    written = math.ceil(1000 * (error + abs(figure.value - value))) / 1000
    return Fact(f"{value:g} +- {written:g}")


def _throughout(summary: Summary) -> Measured:
    """One figure for the whole stretch: its median, with the error of a single section and reaching to its least.

    The error of the median itself would be too small: facets take as much off every section.
    """
    middle, least = summary.median, summary.least
    if isinstance(middle, Unknown) or isinstance(least, Unknown):
        return middle if isinstance(middle, Unknown) else least
    return Figure(middle.value, max(least.error, middle.value - least.value))


def _lesser(one: Measured, two: Measured) -> Measured:
    """The lesser of two sides; unknown where either is."""
    if isinstance(one, Unknown) or isinstance(two, Unknown):
        return one if isinstance(one, Unknown) else two
    return min(one, two, key=lambda figure: figure.value)
