"""The load on the supports for machines: N, MPa and mm; what the mucosa leaves of each bite to supports and bar."""

from __future__ import annotations

import math
from typing import Any

from cli.wording.loads import remarks
from solver.assess.loads import Loads
from solver.handbook.mucosa import whole_base_n_per_mm
from solver.handbook.sourced import Interval
from solver.mechanics.bar_bending import Bent
from solver.mechanics.shared_bites import SharedBite


def load(found: Loads) -> dict[str, Any]:
    """Every bite, the spread of the supports, and the remarks."""
    force = found.force
    return {
        "bite_n": _band(force.band_n, 3),
        "mucosa_n_per_mm": _band(whole_base_n_per_mm(found.arch), 1),
        "assumed": bool(force.presets),
        "bites": {bite.name: _bite(bite) for bite in found.bites},
        "bar": {bent.site: _bent(bent) for bent in found.bar},
        "spread_mm": None if found.spread_mm is None else round(found.spread_mm, 4),
        "notes": list(remarks(found)),
    }


def _bite(found: SharedBite) -> dict[str, Any]:
    """What reaches the supports, least and most."""
    return {
        "force_n": round(found.force_n, 3),
        "supports_n": {name: _band(force, 3) for name, force in found.support_n.items()},
        "sideways_n": _band(found.sideways_n, 3),
        "share": _band(found.share, 4),
        "outside_mm": round(found.lever_mm, 4),
    }


def _bent(found: Bent) -> dict[str, Any]:
    """Stress under what reaches it; null where a size is not known, or nothing is left that could bear it."""
    return {
        "stress_mpa": _band(found.stress_mpa, 1) if found.stress_mpa else None,
        "proof_mpa": _band(found.proof_mpa, 1),
        "chewing_mpa": _band(found.chewing_mpa, 1) if found.chewing_mpa else None,
        "lasting_mpa": _band(found.lasting_mpa, 1),
        "sag_mm": _band(found.sag_mm, 4) if found.sag_mm else None,
    }


def _band(found: Interval, digits: int) -> dict[str, float | None]:
    ends = (round(end, digits) + 0.0 if math.isfinite(end) else None for end in found)
    return dict(zip(("low", "high"), ends, strict=True))
