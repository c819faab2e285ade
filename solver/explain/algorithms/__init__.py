"""Why nothing fits, and what to give up: algorithms over any oracle, free of the trade.

Ask for one clash (`shrink`, `preferred_clash`, `smallest_clash`), for all clashes (`all_clashes`), for the minimal
sets to waive (`waiver_sets`, `cheapest_waiver_sets`), or for both kinds in one search (`explanations`).
"""

from __future__ import annotations

from solver.explain.algorithms.clash import preferred_clash, shrink
from solver.explain.algorithms.duality import all_clashes, explanations
from solver.explain.algorithms.errors import (
    BoundNegativeError,
    ConflictError,
    OracleFaultError,
    RepeatedMemberError,
    UnknownMemberError,
    WeightNotPositiveError,
)
from solver.explain.algorithms.hitting import minimal_hitting_sets
from solver.explain.algorithms.results import Clash, Ending, Listing, WaiverSet
from solver.explain.algorithms.smallest import smallest_clash
from solver.explain.algorithms.verdict import Oracle, Verdict, remembering
from solver.explain.algorithms.waivers import Optimiser, cheapest_waiver_sets, waiver_sets

__all__ = [
    "BoundNegativeError",
    "Clash",
    "ConflictError",
    "Ending",
    "Listing",
    "Optimiser",
    "Oracle",
    "OracleFaultError",
    "RepeatedMemberError",
    "UnknownMemberError",
    "Verdict",
    "WaiverSet",
    "WeightNotPositiveError",
    "all_clashes",
    "cheapest_waiver_sets",
    "explanations",
    "minimal_hitting_sets",
    "preferred_clash",
    "remembering",
    "shrink",
    "smallest_clash",
    "waiver_sets",
]
