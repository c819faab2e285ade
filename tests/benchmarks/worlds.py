"""Cases of a wished size, for measuring: every site takes `per_site` candidates and the mechanics bite."""

from __future__ import annotations

import random
from typing import Any

from catalogue.blocks import Band, Need, Stack
from catalogue.models import Attachment, Catalogue, Rework
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.case.schema import Case
from tests.referee.random_case import INVENTED, catalogue_of, entry


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


def tight_world(sites: int, per_site: int, rules: int, seed: int = 1) -> World:
    """A sized world where nothing fits, with `rules` that may be given up.

    Eight are limits of the case (cap, hold, pull, sinking, four kinds of work), the others needs at sites that are
    short by what may be accepted: the undercut of segments, the roundness of balls, the room over segments, in this
    order; at the sites that are left they are short by more. Most candidates have one of these needs or take work
    that is not allowed; the others hold too little.
    """
    case, stock = sized_world(sites, per_site, seed)
    dice = random.Random(seed)
    undercuts, balls = min(rules - 8, sites - 2), max(0, min(rules - 6 - sites, 2))
    rooms = rules - 8 - undercuts - balls
    segments = {
        name: segment.model_copy(
            update={
                "undercut_mm": Measure(0.2 if n < undercuts else 0.0),
                "room_mm": Measure(7.0 if n < rooms else 20.0),
            }
        )
        for n, (name, segment) in enumerate(case.segments.items())
    }
    ends = {
        name: end.model_copy(update={"out_of_round_mm": Measure(0.1 if n < balls else 0.5)})
        for n, (name, end) in enumerate(case.ends.items())
    }
    limits: dict[str, Any] = {
        "segments": segments,
        "ends": ends,
        "money": case.money.model_copy(update={"cap": 50.0 * sites}),
        "wanted": case.wanted.model_copy(update={"hold_n": 2.5 * sites, "most_n": 16.0 * sites}),
        "allowed": case.allowed.model_copy(update={"send_out": False, "cut_bar": False}),
    }
    attachments = {name: _needing(dice, each) for name, each in stock.attachments.items()}
    work = {name: Rework.model_validate(_work(name, permission), strict=False) for name, permission in _WORK.items()}
    return World(
        case.model_copy(update=limits), stock.model_copy(update={"attachments": attachments, "reworks": work})
    )


_WORK = {"shave": "cut_bar", "post": "send_out"}


def _work(name: str, permission: str) -> dict[str, Any]:
    """A step that the tight case does not allow."""
    return {
        "id": name, "name": name, "at": ["segment", "end"], "always_with": True, "permissions": [permission],
        "price": {"low": 2, "high": 4, "source": INVENTED}, "work": {"source": INVENTED}, "source": INVENTED,
    }  # fmt: skip


def _needing(dice: random.Random, plain: Attachment) -> Attachment:
    """The same attachment, four times in five with a need that may be waived or with work that is not allowed."""
    of, limit = ("undercut_mm", {"at_least": 0.3}) if plain.kind == "clip" else ("out_of_round_mm", {"at_most": 0.05})
    waive = {"up_to": 0.2, "how": "live with it", "source": INVENTED}
    need = Need.model_validate({"of": of, **limit, "waive": waive, "source": INVENTED}, strict=False)
    high = Stack.model_validate({"part": 2.8, "source": INVENTED}, strict=False)
    weak = Band(low=1.0, high=2.0, source=INVENTED)
    changes: list[dict[str, Any]] = [
        {"needs": (need,)}, {"needs": (need,)}, {"needs": (need,), "stack": high},
        {"steps": (dice.choice([*_WORK]),)}, {"retention_n": weak},
    ]  # fmt: skip
    return plain.model_copy(update=dice.choice(changes))
