"""The load on the supports for machines: N, N mm and mm; the whole bite on them, and what is left with the mucosa."""

from __future__ import annotations

from typing import Any

from cli.text.load import remarks
from solver.bite import BiteLoad
from solver.loads import Loads
from solver.mucosa import whole_base_n_per_mm
from solver.shared_bite import SharedBite
from solver.sourced import Interval


def load(found: Loads) -> dict[str, Any]:
    """Every bite, the spread of the supports, and the remarks."""
    force, shared = found.force, {bite.name: bite for bite in found.shared}
    return {
        "bite_n": _band(force.band_n, 3),
        "mucosa_n_per_mm": _band(whole_base_n_per_mm(found.arch), 1),
        "assumed": bool(force.presets),
        "bites": {bite.name: _bite(bite) | {"shared": _shared(shared[bite.name])} for bite in found.bites},
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


def _shared(found: SharedBite) -> dict[str, Any]:
    """What reaches the supports, least and most."""
    supports = {name: _band(force, 3) for name, force in found.support_n.items()}
    return {"share": _band(found.share, 4), "supports_n": supports}


def _band(found: Interval, digits: int) -> dict[str, float]:
    return {"low": round(found.low, digits) + 0.0, "high": round(found.high, digits) + 0.0}
