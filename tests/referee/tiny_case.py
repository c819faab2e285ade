"""Tiny cases in which everything is known and nothing is reworked, with all that tiers and preferences can ask."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.audit.second_opinion.world import World
from solver.case.schema import Case
from tests.referee.random_case import INVENTED, aside, catalogue_of, entry


def tiny_world(seed: int) -> World:
    """The world of a seed; the same seed gives the same world."""
    dice = random.Random(f"tiny {seed}")
    return World(Case.model_validate(_case(dice), strict=False), _catalogue(dice))


def _case(dice: random.Random) -> dict[str, Any]:
    arch = dice.choice(["lower", "lower", "upper"])
    xs = dice.choice([[-11, 11], [-14, 0, 14], [-15, -5, 5, 15], [-8, 3, 12]])
    supports = {f"S{i}": {"at_mm": [x, round(26 - 0.02 * x * x, 2), 1], "top_mm": 2} for i, x in enumerate(xs)}
    names = list(supports)
    segments = {f"B{i}": {"between": names[i : i + 2], "length_mm": 18} for i in range(len(names) - 1)}
    ends = {"E0": {"on": names[0], "length_mm": 7}, "E9": {"on": names[-1], "length_mm": dice.choice([7, 9])}}
    barred = dice.random() < 0.75
    return {
        "case": "tiny", "arch": arch, "room": {"space_mm": 16, "top_mm": 3}, "supports": supports,
        "segments": segments if barred else {}, "ends": ends if barred and dice.random() < 0.7 else {},
        "denture": {"settling_mm": dice.choice([0.1, 0.3])},
        "patient": {"scans_expected": "no"},
        "allowed": {"bar_off": dice.random() < 0.8},
        "money": {
            "currency": "EUR", "bench_per_hour": 0, "chair_per_hour": 0, "years": 3,
            "cap": dice.choice([None, 30, 55]),
        },
        "wanted": {
            "hold_n": dice.choice([None, None, 2]), "level_n": dice.choice([None, 6]),
            "most_n": dice.choice([None, 4, 9]), "pull_n": dice.choice([{}, {}, {"behind": 0.5}]),
        },
        "severity": dice.choice([{}, {}, {"even": 8, "peel": 1}]),
    }  # fmt: skip


def _catalogue(dice: random.Random) -> Catalogue:
    kinds = [("clip", "segment"), ("clip", "segment"), ("ball", "end"), ("stud", "support"), ("stud", "support")]
    attachments = {f"a{i}": _attachment(dice, f"a{i}", *kind) for i, kind in enumerate(kinds)}
    off = {
        "id": "off", "name": "off", "at": ["support"], "once": True, "always_with": True,
        "permissions": ["bar_off"], "price": _band(25, 25), "work": {"source": INVENTED}, "source": INVENTED,
    }  # fmt: skip
    plain = catalogue_of(attachments, {"off": off})
    defaults = plain.defaults.model_dump(mode="json") | {"tiers": _tiers(dice), "preferences": _preferences(dice)}
    return Catalogue.model_validate(plain.model_dump(mode="json") | {"defaults": defaults}, strict=False)


def _attachment(dice: random.Random, name: str, kind: str, site: str) -> dict[str, Any]:
    low, price = dice.choice([1.0, 2.5, 6.0]), dice.choice([9, 17, 31.5])
    wear = {"loss": dice.choice([(0.1, 0.3), (0.4, 0.8), (-0.2, 0)]), "cycles": 2000, "source": INVENTED}
    movement = {
        "down_mm": dice.choice([0, 0, 0.2]), "slide_mm": dice.choice([0, "free"]), "turn_deg": dice.choice([0, 10]),
        "hinge_deg": dice.choice([0, "free", "free"]), "tip_deg": dice.choice([0, 0, 10]),
    }  # fmt: skip
    return entry(
        name, kind, [site], steps=["off"] if site == "support" else [], length_mm=5 if kind == "clip" else None,
        spacing_mm=2, most=2 if kind == "clip" else 1, price=_band(price - 1, price), wear=dice.choice([None, wear]),
        retention_n=_band(low, low * dice.choice([1, 1.5])), movement=movement,
    )  # fmt: skip


def _band(low: float, high: float) -> dict[str, Any]:
    return {"low": low, "high": high, "source": INVENTED}


def _tiers(dice: random.Random) -> dict[str, Any]:
    def figure(*values: float) -> dict[str, Any]:
        return {"value": dice.choice(values), "source": INVENTED}

    stopgap = {"promise": "stays", "centre_n": figure(1), "front_n": figure(0.3), "sides_n": figure(0, 0.6)}
    usual = {
        "promise": "most", "centre_n": figure(2, 6), "front_n": figure(1, 3), "sides_n": figure(0.5, 2),
        "sides_many_n": figure(1, 3), "many_supports": figure(4), "spread": figure(0, 0.6), "even": figure(0, 0.6),
        "until_renewal": dice.random() < 0.5,
    }  # fmt: skip
    return {"stopgap": stopgap, "usual": usual, "firm": {"promise": "firmest"}}


def _preferences(dice: random.Random) -> dict[str, Any]:
    figures = {
        "alike_saves": dice.choice([0.1, 0.2, 0.5]),
        "whole_bar_saves": 0.3,
        "in_kind": 0.5,
        "about_nothing_n": 0.5,
        "three_points_saves": aside(dice).choice([0, 0.2, 0.5]),
    }
    return {name: {"value": value, "source": INVENTED} for name, value in figures.items()}
