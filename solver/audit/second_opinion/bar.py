"""Does a bar bear the bite once it is cut? Columns of metal summed up, figures typed in again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from math import inf, sqrt
from typing import NamedTuple

from catalogue.models import Rework
from solver.audit.second_opinion.places import Fact, Place
from solver.case.measure import Measure
from solver.case.schema import Case

COLUMNS = 2000

PROOF_MPA = {
    "titanium-alloy": (780, 780),
    "titanium": (483, 483),
    "gold": (360, 600),
    "cobalt-chromium": (480, 1002),
    "unknown": (0, 1002),
}
"""0.2 % proof stress as in solver.handbook.alloys, where the sources stand; an alloy that is not known may be any."""

BEST_NAMED_MPA = max(least for least, _ in PROOF_MPA.values())
"""What the strongest alloy bears for certain."""

BITE_N = {"denture": (100, 100), "natural": (150, 150), "implants": (150, 150), "unknown": (100, 150)}
"""As in solver.handbook.mucosa."""

SIZES = {
    "round": ("width_mm",),
    "ovoid": ("width_mm", "height_mm"),
    "parallel": ("width_mm", "height_mm"),
    "keyhole": ("width_mm", "height_mm", "undercut_mm"),
}


class Borne(NamedTuple):
    """`yes`, `no` or `ask`, and the facts to ask for."""

    stands: str
    asks: tuple[str, ...] = ()


def bar_state(case: Case, place: Place, facts: Mapping[str, Fact], reworks: Sequence[Rework]) -> Borne | None:
    """Whether a cut bar bears the bite; None where nothing is taken from it. `facts` are those after the reworks."""
    cutting = [rework for rework in reworks if _takes_metal(rework)]
    if place.kind != "segment" or not cutting:
        return None
    section, proof = str(facts["section"]), _measure(facts, "proof_mpa")
    alloy = ("alloy",) if facts["alloy"] == "unknown" and proof.value is None else ()
    undercut = any("undercut_mm" in {*rework.makes, *rework.changes} for rework in cutting)
    sizes = [*SIZES.get(section, ("width_mm", "height_mm")), "length_mm"]
    blank = [of for of in sizes if _measure(facts, of).value is None]
    if undercut and section != "keyhole" and _measure(facts, "undercut_mm").value is None:
        blank.append("undercut_mm")
    hole_mm = max((rework.hole_mm.value for rework in cutting if rework.hole_mm), default=0.0)
    force = case.bite.force_n
    given = (max(force.low, 0.0), force.high) if force.value is not None else BITE_N[case.opposing]
    weakest, strongest = PROOF_MPA[str(facts["alloy"])] if proof.value is None else (proof.low, proof.high)
    if section in SIZES and not set(blank) & set(sizes):
        least = _stress(facts, section, given[0], undercut, hole_mm, strong=True)
        most = _stress(facts, section, given[1], undercut, hole_mm, strong=False)
        if least > strongest or most <= weakest:
            return Borne("no" if least > strongest else "yes")
    if section not in SIZES:
        return Borne("ask", ("section", *blank, *alloy))
    if blank:
        return Borne("ask", (*blank, *alloy))

    def bears(asked: Sequence[str]) -> bool:
        """With the best answers to these."""
        best = {of: Measure(_best_mm(_measure(facts, of), of)) for of in asked if of in facts and of in ROUGH}
        bite = given[0] if "force_n" in asked else given[1]
        limit = strongest if "proof_mpa" in asked else max(weakest, BEST_NAMED_MPA) if "alloy" in asked else weakest
        return _stress({**facts, **best}, section, bite, undercut, hole_mm, strong=False) <= limit

    made = {of for rework in reworks for of in rework.makes}
    rough = [of for of in ROUGH if _measure(facts, of).error]
    wide = [of for of, span in (("force_n", given), ("proof_mpa", (weakest, strongest))) if span[0] < span[1]]
    doubts = [*alloy, *wide, *sorted(rough, key=made.__contains__)]
    enough = [n for n in range(1, len(doubts)) if bears(doubts[:n])]
    return Borne("ask", tuple(doubts[: min(enough, default=len(doubts))]))


ROUGH = ("width_mm", "height_mm", "undercut_mm", "length_mm")
"""Sizes that may have an error."""


def _best_mm(measure: Measure, of: str) -> float:
    """The end of an error interval that leaves the bar strongest."""
    return measure.high if of in ("width_mm", "height_mm") else measure.low


def _takes_metal(rework: Rework) -> bool:
    if rework.hole_mm or {"section", "width_mm", "height_mm", "undercut_mm"} & set(rework.makes):
        return True
    changes = rework.changes
    return min(changes.get("width_mm", 0), changes.get("height_mm", 0)) < 0 or changes.get("undercut_mm", 0) > 0


def _measure(facts: Mapping[str, Fact], of: str) -> Measure:
    fact = facts.get(of)
    return fact if isinstance(fact, Measure) else Measure()


def _stress(
    facts: Mapping[str, Fact], section: str, force_n: float, undercut: bool, hole_mm: float, *, strong: bool
) -> float:
    """Stress at the edge of every measure that leaves most metal, or least."""

    def edge(of: str, *, more: bool) -> float:
        measure = _measure(facts, of)
        return measure.high if more else measure.low

    length, width = edge("length_mm", more=not strong), edge("width_mm", more=strong)
    height = edge("height_mm", more=strong) if _measure(facts, "height_mm").value is not None else width
    neck = None
    if section == "keyhole" or (undercut and section != "parallel"):
        neck = width - 2 * max(edge("undercut_mm", more=not strong), 0.0)
    if section == "keyhole":  # never less than its head
        height = max(height, width)
    return clamped_mpa(section, force_n, length, width, height, neck, hole_mm)


@cache
def clamped_mpa(
    section: str,
    force_n: float,
    length_mm: float,
    width_mm: float,
    height_mm: float,
    neck_mm: float | None,
    hole_mm: float,
) -> float:
    """F L / 8 times c / I of what is left of a section; without limit where nothing is."""
    if length_mm <= 0:
        return 0.0
    if min(width_mm, height_mm, width_mm - hole_mm, width_mm if neck_mm is None else neck_mm) <= 0:
        return inf
    area = first = second = 0.0
    low, high = inf, -inf
    step = width_mm / COLUMNS
    for bottom, top in _columns(section, width_mm, height_mm, neck_mm, hole_mm):
        low, high = min(low, bottom), max(high, top)
        area += (top - bottom) * step
        first += (top**2 - bottom**2) / 2 * step
        second += (top**3 - bottom**3) / 3 * step
    centre = first / area
    inertia = second - area * centre**2
    return force_n * length_mm / 8 * max(high - centre, centre - low) / inertia


def _columns(
    section: str, width_mm: float, height_mm: float, neck_mm: float | None, hole_mm: float
) -> Iterator[tuple[float, float]]:
    """Underside and top of every column, heights from the widest line of the section."""
    half = width_mm / 2
    for n in range(COLUMNS):
        x = (n + 0.5) * width_mm / COLUMNS - half
        if abs(x) < hole_mm / 2:
            continue
        arc = sqrt(1 - (x / half) ** 2)
        in_neck = neck_mm is None or abs(x) < neck_mm / 2
        if section == "parallel":
            yield -height_mm / 2, height_mm / 2
        elif section == "keyhole":
            top = half * arc
            yield -(height_mm - half) if in_neck else -top, top
        else:
            top = height_mm / 2 * arc
            yield -top if in_neck else 0.0, top
