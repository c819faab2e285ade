"""Does a bar bear the bite once it is cut? Columns of metal summed up, figures typed in again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from math import inf, sqrt

from catalogue.models import Rework
from solver.case import Case
from solver.measure import Measure
from solver.second_opinion.places import Fact, Place

COLUMNS = 2000

PROOF_MPA = {
    "titanium-alloy": (780, 780),
    "titanium": (483, 483),
    "gold": (360, 600),
    "cobalt-chromium": (480, 1002),
    "unknown": (0, 1002),
}
"""0.2 % proof stress as in solver.alloy, where the sources stand; an alloy that is not known may be any."""

BITE_N = {"denture": (100, 100), "natural": (150, 150), "implants": (150, 150), "unknown": (100, 150)}
"""As in solver.mucosa."""

SIZES = {
    "round": ("width_mm",),
    "ovoid": ("width_mm", "height_mm"),
    "parallel": ("width_mm", "height_mm"),
    "keyhole": ("width_mm", "height_mm", "undercut_mm"),
}


def bar_state(case: Case, place: Place, facts: Mapping[str, Fact], reworks: Iterable[Rework]) -> str | None:
    """`yes`, `no` or `ask`; None where nothing is taken from a bar. `facts` are those after the reworks."""
    cutting = [rework for rework in reworks if _takes_metal(rework)]
    if place.kind != "segment" or not cutting:
        return None
    section = str(facts["section"])
    if section not in SIZES or any(_measure(facts, of).value is None for of in (*SIZES[section], "length_mm")):
        return "ask"
    undercut = any("undercut_mm" in {*rework.makes, *rework.changes} for rework in cutting)
    hole_mm = max((rework.hole_mm.value for rework in cutting if rework.hole_mm), default=0.0)
    force = case.bite.force_n
    given = (max(force.low, 0.0), force.high) if force.value is not None else BITE_N[case.opposing]
    least = _stress(facts, section, given[0], undercut, hole_mm, strong=True)
    most = _stress(facts, section, given[1], undercut, hole_mm, strong=False)
    weakest, strongest = PROOF_MPA[str(facts["alloy"])]
    return "no" if least > strongest else "yes" if most <= weakest else "ask"


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
