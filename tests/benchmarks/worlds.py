"""Cases of a wished size, for measuring: every site takes `per_site` candidates and the mechanics bite."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.case import Case
from tests.referee.random_case import INVENTED, World, catalogue_of, entry


def sized_world(sites: int, per_site: int, seed: int = 1) -> World:
    """`sites` segments and ends (two of them ends), each with `per_site` candidates; costs and movements random."""
    dice = random.Random(seed)
    return World(Case.model_validate(_case(sites - 2), strict=False), _catalogue(dice, per_site))


def _case(segments: int) -> dict[str, Any]:
    supports = {}
    for i in range(segments + 1):
        x = -20 + 40 * i / segments
        supports[f"S{i}"] = {"at_mm": [x, 26 - 0.04 * x * x, 0]}
    return {
        "case": "sized",
        "arch": "lower",
        "room": {"space_mm": 14, "top_mm": 4},
        "supports": supports,
        "segments": {
            f"B{i}": {"between": [f"S{i}", f"S{i + 1}"], "section": "round", "width_mm": 1.8, "length_mm": 14}
            for i in range(segments)
        },
        "ends": {"E0": {"on": "S0", "length_mm": 8}, "E1": {"on": f"S{segments}", "length_mm": 8}},
        "denture": {"left": [24, 2], "right": [-24, 2], "front": [0, 30], "settling_mm": 0.3},
        "money": {"currency": "EUR", "bench_per_hour": 45, "chair_per_hour": 95},
        "wanted": {"hold_n": 4.0 * (segments + 2)},
    }


def _catalogue(dice: random.Random, per_site: int) -> Catalogue:
    """Half as many clips as candidates, each alone and doubled; as many balls. The cheap ones are stiff."""
    attachments = {f"c{i}": _attachment(dice, f"c{i}", "clip", "segment") for i in range(per_site // 2)}
    attachments |= {f"b{i}": _attachment(dice, f"b{i}", "ball", "end") for i in range(per_site)}
    return catalogue_of(attachments, {})


def _attachment(dice: random.Random, name: str, kind: str, site: str) -> dict[str, Any]:
    freedom = dice.random()
    movement = {
        "down_mm": round(0.45 * freedom * dice.random(), 3),
        "hinge_deg": dice.choice([0, 5, 20]),
        "tip_deg": round(6 * freedom * dice.random(), 2),
        "slide_mm": round(0.3 * dice.random(), 3),
        "up_mm": round(0.2 * dice.random(), 3),
    }
    price = round(10 + 30 * freedom + 10 * dice.random(), 2)
    low = round(2 + 4 * dice.random(), 2)
    return entry(
        name,
        kind,
        [site],
        length_mm=5.0 if kind == "clip" else None,
        spacing_mm=1.0,
        most=2 if kind == "clip" else 1,
        movement=movement,
        retention_n={"low": low, "high": low + 3, "source": INVENTED},
        price={"low": price, "high": price, "source": INVENTED},
    )
