"""Cases of a wished size, for measuring: every site takes `per_site` candidates and the mechanics bite."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.case import Case
from tests.referee.random_case import INVENTED, World, catalogue_of, entry


def sized_world(sites: int, per_site: int, seed: int = 1, *, odd: bool = False) -> World:
    """`sites` segments and ends (two of them ends), each with `per_site` candidates; prices and forces random.

    Movements are those of the starter catalogue, or with `odd` all different: the hardest thing to choose from.
    """
    dice = random.Random(seed)
    return World(Case.model_validate(_case(sites - 2), strict=False), _catalogue(dice, per_site, odd))


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


def _catalogue(dice: random.Random, per_site: int, odd: bool) -> Catalogue:
    """Half as many clips as candidates, each alone and doubled; as many balls. The cheap ones are stiff."""
    attachments = {f"c{i}": _attachment(dice, f"c{i}", "clip", "segment", odd) for i in range(per_site // 2)}
    attachments |= {f"b{i}": _attachment(dice, f"b{i}", "ball", "end", odd) for i in range(per_site)}
    return catalogue_of(attachments, {})


_CLASSES: dict[str, list[dict[str, float | str]]] = {
    "clip": [
        {"hinge_deg": 20},
        {"hinge_deg": 20, "down_mm": 0.3},
        {"hinge_deg": 20, "down_mm": 0.5, "slide_mm": 0.5},
        {"hinge_deg": 8, "tip_deg": 8, "turn_deg": "free", "down_mm": 0.2},
        {},
    ],
    "ball": [
        {"hinge_deg": 10, "tip_deg": 10, "turn_deg": "free", "down_mm": 0.3},
        {"hinge_deg": 8, "tip_deg": 8, "turn_deg": "free", "down_mm": 0.15},
        {"hinge_deg": 8, "tip_deg": 8, "turn_deg": "free"},
        {"slide_mm": 0.3, "sideways_mm": 0.3, "up_mm": 0.2, "hinge_deg": 3, "tip_deg": 3, "turn_deg": "free"},
    ],
}
"""The kinds of movement that the starter catalogue knows."""


def _odd_movement(dice: random.Random, freedom: float) -> dict[str, float | str]:
    """A movement that no other entry has, so that nothing is like anything else."""
    return {
        "down_mm": round(0.45 * freedom * dice.random(), 3),
        "hinge_deg": dice.choice([0, 5, 20]),
        "tip_deg": round(6 * freedom * dice.random(), 2),
        "slide_mm": round(0.3 * dice.random(), 3),
        "up_mm": round(0.2 * dice.random(), 3),
    }


def _attachment(dice: random.Random, name: str, kind: str, site: str, odd: bool) -> dict[str, Any]:
    freedom = dice.random()
    movement = _odd_movement(dice, freedom) if odd else dice.choice(_CLASSES[kind])
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
