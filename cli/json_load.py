"""The load on the supports for machines: N, N mm and mm; the whole bite on the supports."""

from __future__ import annotations

from typing import Any

from cli.text.load import remarks
from solver.bite import BiteLoad
from solver.loads import Loads


def load(found: Loads) -> dict[str, Any]:
    """Every bite, the spread of the supports, and the remarks."""
    force = found.force
    return {
        "bite_n": {"low": round(force.band_n.low, 3), "high": round(force.band_n.high, 3)},
        "assumed": bool(force.presets),
        "bites": {bite.name: _bite(bite) for bite in found.bites},
        "spread_mm": None if found.spread_mm is None else round(found.spread_mm, 4),
        "notes": list(remarks(found)),
    }


def _bite(found: BiteLoad) -> dict[str, Any]:
    return {
        "force_n": round(found.force_n, 3),
        "supports_n": {name: round(force, 3) for name, force in found.support_n.items()},
        "unbalanced_nmm": [round(part, 3) for part in found.unbalanced_nmm],
        "outside_mm": round(found.lever_mm, 4),
        "least_share": round(found.least_share, 6),
    }
