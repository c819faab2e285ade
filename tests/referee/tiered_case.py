"""The wide cases with all that a plan promises: tiers, worn parts, hands, like with like, whole bars, no bar."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.case import PULLS, Case
from solver.second_opinion.world import World
from tests.referee.random_case import INVENTED
from tests.referee.wide_case import wide_world


def tiered_world(seed: int) -> World:
    """The world of a seed; the same seed gives the same world."""
    dice = random.Random(f"tiers {seed}")
    wide = wide_world(seed)
    catalogue = _catalogue(dice, wide.catalogue.model_dump(mode="json"))
    case = _case(dice, wide.case.model_dump(mode="json"))
    return World(Case.model_validate(case, strict=False), Catalogue.model_validate(catalogue, strict=False))


def _case(dice: random.Random, case: dict[str, Any]) -> dict[str, Any]:
    if dice.random() < 0.6:
        _even_out(case)
    if dice.random() < 0.15:
        case |= {"segments": {}, "ends": {}}
    case["wanted"] |= {
        "hold_n": dice.choice([None, None, 1, 2.5]),
        "level_n": dice.choice([None, None, 4]),
        "most_n": dice.choice([None, None, 3, 9]),
        "pull_n": {name: dice.choice([0, 0.3, 1]) for name in PULLS if dice.random() < 0.1},
        "movement": {name: share for name, share in case["wanted"]["movement"].items() if dice.random() < 0.1},
        "insertions_per_day": dice.choice([None, None, 2, 6]),
    }
    case["patient"] |= {
        "hand": dice.choice(["unknown", "weak", "usual", "strong"]),
        "takes_out": dice.choice(["unknown", "patient", "carer"]),
        "age": dice.choice([None, 40, 66, 90]),
    }
    case["denture"]["settling_mm"] = dice.choice([0.1, 0.2, "unknown"])
    case["allowed"]["bar_off"] = dice.random() < 0.8
    case["allowed"]["cut_bar"] = dice.random() < 0.9
    case["money"]["years"] = dice.choice([1, 3, 8])
    if case["money"]["cap"] is not None and dice.random() < 0.5:
        case["money"]["cap"] = None
    case["severity"] = dice.choice(
        [{}, {}, {"pulls": 9, "even": 1}, {"peel": 1, "borne": 30}, {"hold": 2, "need": 8}]
    )
    return case


def _even_out(case: dict[str, Any]) -> None:
    """The right half stands as the image of the left, near enough or exactly; the base too."""
    case["denture"] |= {"left": [24.0, 4.0], "right": [-24.0, 4.0], "front": [0.0, 28.0]}
    names, spots = list(case["supports"]), [support["at_mm"] for support in case["supports"].values()]
    for index in range(len(names) // 2):
        x, y, z = spots[index]
        spots[-1 - index] = [-min(x, -4.0), y, z]
        spots[index] = [min(x, -4.0), y, z]
    if len(names) % 2:
        spots[len(names) // 2][0] = 0.0
    for name, at in zip(names, spots, strict=True):
        case["supports"][name]["at_mm"] = at
    twins = [list(case[group].values()) for group in ("supports", "segments", "ends")]
    for group in twins:
        for one, other in zip(group[: len(group) // 2], reversed(group), strict=False):
            other |= {of: told for of, told in one.items() if of not in ("at_mm", "between", "on")}


def _catalogue(dice: random.Random, catalogue: dict[str, Any]) -> dict[str, Any]:
    for attachment in catalogue["attachments"].values():
        if attachment["kind"] != "bare":
            attachment.update(_used(dice, attachment))
    catalogue["defaults"] |= {"tiers": _tiers(dice), "preferences": _preferences(dice)}
    catalogue["defaults"]["pull_n"] = {"weak": 6, "usual": 12, "strong": 25, "source": INVENTED}
    for rework in catalogue["reworks"].values():
        rework["cuts_only_worn"] = rework["id"] == "cap" or dice.random() < 0.2
    return catalogue


def _used(dice: random.Random, attachment: dict[str, Any]) -> dict[str, Any]:
    """It wears, is renewed, holds in a band of its own; some lie at the ends of what is usual."""
    loss = dice.choice([(0.1, 0.4), (0.0, 0.05), (-0.2, -0.1), (0.3, 0.7)])
    wear = {"loss": loss, "cycles": dice.choice([1500, 5400]), "source": INVENTED}
    months = dice.choice([6, 12, 24])
    service = {
        "what": "renew", "months": [months, months + 6], "price": {"low": 3, "high": 5, "source": INVENTED},
        "work": {"chair": [5, 10], "source": INVENTED}, "source": INVENTED,
    }  # fmt: skip
    low = dice.choice([1.5, 3.0, 5.5, 9.0])
    return {
        "wear": wear if dice.random() < 0.7 else None,
        "service": service if dice.random() < 0.7 else None,
        "retention_n": {"low": low, "high": low * dice.choice([1.2, 2, 3]), "source": INVENTED},
        "movement": attachment["movement"] | {"down_mm": dice.choice([0, 0, 0.15, 0.3]), "hinge_deg": "free"},
    }


def _tiers(dice: random.Random) -> dict[str, Any]:
    def figure(*values: float) -> dict[str, Any]:
        return {"value": dice.choice(values), "source": INVENTED}

    stopgap = {
        "promise": "stays in", "centre_n": figure(0.5, 1.5), "front_n": figure(0, 0.5), "sides_n": figure(0, 0.5),
    }  # fmt: skip
    usual = {
        "promise": "what most deliver", "centre_n": figure(1, 3), "front_n": figure(0.6, 1.7),
        "sides_n": figure(0.4, 1.2), "sides_many_n": figure(0.8, 2.5), "many_supports": figure(4),
        "spread": figure(0, 0.3, 0.6), "even": figure(0, 0.5, 0.8), "until_renewal": dice.random() < 0.6,
    }  # fmt: skip
    return {"stopgap": stopgap, "usual": usual, "firm": {"promise": "the firmest"}}


def _preferences(dice: random.Random) -> dict[str, Any]:
    def figure(*values: float) -> dict[str, Any]:
        return {"value": dice.choice(values), "source": INVENTED}

    return {
        "alike_saves": figure(0.1, 0.3, 0.6), "whole_bar_saves": figure(0, 0.33, 0.6), "in_kind": figure(0.5, 0.8),
        "about_nothing_n": figure(0.5),
    }  # fmt: skip
