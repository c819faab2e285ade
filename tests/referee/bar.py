"""Does a bar bear the bite once it is cut? A second derivation: columns of metal summed up, figures typed in again.

Sections of the random cases only: round and ovoid.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from math import inf, sqrt

from catalogue.models import Rework
from solver.case import Case
from solver.measure import Measure
from solver.sites import Fact, Site

COLUMNS = 2000

PROOF_MPA = {"titanium-alloy": (780, 780), "titanium": (483, 483), "gold": (360, 600), "unknown": (0, 1002)}
"""0.2 % proof stress as in solver.alloy, where the sources stand; an alloy that is not known may be any."""

BITE_N = {"denture": (100, 100), "natural": (150, 150), "unknown": (100, 150)}
"""As in solver.mucosa."""


def bar_state(case: Case, site: Site, facts: Mapping[str, Fact], reworks: Iterable[Rework]) -> str | None:
    """`yes`, `no` or `ask`; None where nothing is taken from a bar. `facts` are those after the reworks."""
    names = {rework.id for rework in reworks}
    if site.kind != "segment" or not names & {"deepen", "slim"}:
        return None
    width, height, length = (facts[of] for of in ("width_mm", "height_mm", "length_mm"))
    assert isinstance(width, Measure)
    assert isinstance(height, Measure)
    assert isinstance(length, Measure)
    round_bar = facts["section"] == "round"
    if facts["section"] == "unknown" or width.value is None or (height.value is None and not round_bar):
        return "ask"
    tall = height if height.value is not None else width
    force = case.bite.force_n
    given = (force.low, force.high) if force.value is not None else BITE_N[case.opposing]
    undercut = 0.35 if "deepen" in names else None
    least = clamped_mpa(given[0], length.low, width.high, tall.high, undercut)
    most = clamped_mpa(given[1], length.high, width.low, tall.low, undercut)
    weakest, strongest = PROOF_MPA[str(facts["alloy"])]
    return "no" if least > strongest else "yes" if most <= weakest else "ask"


@cache
def clamped_mpa(
    force_n: float, length_mm: float, width_mm: float, height_mm: float, undercut_mm: float | None
) -> float:
    """F L / 8 times c / I of an ellipse, without its lower half beside the neck where an undercut was cut."""
    if length_mm <= 0:
        return 0.0
    neck = width_mm / 2 - (undercut_mm or 0.0)
    if min(width_mm, height_mm, neck) <= 0:
        return inf
    area = first = second = 0.0
    step = width_mm / COLUMNS
    low, high = -height_mm / 2, height_mm / 2
    for n in range(COLUMNS):
        x = (n + 0.5) * step - width_mm / 2
        top = height_mm / 2 * sqrt(1 - (2 * x / width_mm) ** 2)
        bottom = -top if undercut_mm is None or abs(x) < neck else 0.0
        area += (top - bottom) * step
        first += (top**2 - bottom**2) / 2 * step
        second += (top**3 - bottom**3) / 3 * step
    centre = first / area
    inertia = second - area * centre**2
    return force_n * length_mm / 8 * max(high - centre, centre - low) / inertia
