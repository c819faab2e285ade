"""The load on the supports for machines: N, N mm and mm; the whole bite on them, and what is left with the mucosa."""

from __future__ import annotations

import math
from typing import Any

from cli.wording.loads import remarks
from solver.assess.loads import Loads
from solver.handbook.mucosa import whole_base_n_per_mm
from solver.handbook.sourced import Interval
from solver.mechanics.bar_bending import NOT_KNOWN, Bent
from solver.mechanics.bites import BiteLoad
from solver.mechanics.shared_bites import SharedBite


def load(found: Loads) -> dict[str, Any]:
    """Every bite, the spread of the supports, and the remarks."""
    force, shared = found.force, {bite.name: bite for bite in found.shared}
    return {
        "bite_n": _band(force.band_n, 3),
        "mucosa_n_per_mm": _band(whole_base_n_per_mm(found.arch), 1),
        "assumed": bool(force.presets),
        "bites": {bite.name: _bite(bite) | {"shared": _shared(shared[bite.name])} for bite in found.bites},
        "bar": {bent.site: _bent(bent) for bent in found.bar},
        "spread_mm": None if found.spread_mm is None else round(found.spread_mm, 4),
        "notes": list(remarks(found)),
    }


def _bite(found: BiteLoad) -> dict[str, Any]:
    return {
        "force_n": round(found.force_n, 3),
        "supports_n": {name: round(force, 3) for name, force in found.support_n.items()},
        "unbalanced_nmm": [round(part, 3) for part in found.unbalanced_nmm],
        "outside_mm": round(found.lever_mm, 4),
    }


def _bent(found: Bent) -> dict[str, Any]:
    """Stress and sag under the whole bite; null where a size is not known, or nothing is left that could bear it."""
    known = found.stress_mpa is not NOT_KNOWN
    return {
        "stress_mpa": _band(found.stress_mpa, 1) if known else None,
        "proof_mpa": _band(found.proof_mpa, 1),
        "sag_mm": _band(found.sag_mm, 4) if found.sag_mm else None,
    }


def _shared(found: SharedBite) -> dict[str, Any]:
    """What reaches the supports, least and most."""
    supports = {name: _band(force, 3) for name, force in found.support_n.items()}
    return {"share": _band(found.share, 4), "supports_n": supports}


def _band(found: Interval, digits: int) -> dict[str, float | None]:
    ends = (round(end, digits) + 0.0 if math.isfinite(end) else None for end in found)
    return dict(zip(("low", "high"), ends, strict=True))
