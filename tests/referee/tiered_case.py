"""The wide cases with all that a plan promises: tiers, worn parts, hands, like with like, whole bars, no bar."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.audit.second_opinion.world import World
from solver.case.schema import PULLS, Case
from tests.referee.random_case import INVENTED, aside, entry
from tests.referee.wide_case import wide_world

Told = dict[str, Any]


def tiered_world(seed: int, bent: str = "") -> World:
    """The world of a seed; the same seed gives the same world. `bent` towards one of `BENDS`."""
    dice = random.Random(f"tiers {bent} {seed}")
    wide = wide_world(seed)
    case, catalogue = _case(dice, wide.case.model_dump(mode="json")), wide.catalogue.model_dump(mode="json")
    catalogue = _catalogue(dice, catalogue)
    if bent:
        BENDS[bent](dice, case, catalogue)
    return World(Case.model_validate(case, strict=False), Catalogue.model_validate(catalogue, strict=False))


def _case(dice: random.Random, case: Told) -> Told:
    if dice.random() < 0.4:
        _even_out(dice, case)
    if dice.random() < 0.1:
        case |= {"segments": {}, "ends": {}}
    case["wanted"] |= {
        "hold_n": dice.choice([None, None, 1, 2.5]),
        "level_n": dice.choice([None, None, 4]),
        "most_n": dice.choice([None, None, None, 5, 12]),
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
    case["severity"] = dice.choice(SEVERITIES)
    return case


SEVERITIES = [{}, {}, {"pulls": 9, "even": 1}, {"peel": 1, "borne": 30}, {"hold": 2, "need": 8}]


def _even_out(dice: random.Random, case: Told) -> None:
    """The right half stands as the image of the left, exactly or near enough; the base too."""
    case["denture"] |= {"left": [24.0, 4.0], "right": [-24.0, 4.0], "front": [0.0, 28.0]}
    names, spots = list(case["supports"]), [support["at_mm"] for support in case["supports"].values()]
    for index in range(len(names) // 2):
        x, y, z = spots[index]
        spots[index] = [min(x, -4.0), y, z]
        spots[-1 - index] = [-min(x, -4.0) + dice.choice([0, 0, 1.5]), y, z]
    if len(names) % 2:
        spots[len(names) // 2][0] = 0.0
    for name, at in zip(names, spots, strict=True):
        case["supports"][name]["at_mm"] = at
    for group in ("supports", "segments", "ends"):
        twins = list(case[group].values())
        for one, other in zip(twins[: len(twins) // 2], reversed(twins), strict=False):
            other |= {of: told for of, told in one.items() if of not in ("at_mm", "between", "on")}


def _catalogue(dice: random.Random, catalogue: Told) -> Told:
    for attachment in catalogue["attachments"].values():
        if attachment["kind"] != "bare":
            attachment.update(_used(dice, attachment))
    catalogue["defaults"] |= {"tiers": _tiers(dice), "preferences": _preferences(dice)}
    catalogue["defaults"]["pull_n"] = {"weak": 6, "usual": 12, "strong": 25, "source": INVENTED}
    for rework in catalogue["reworks"].values():
        rework["cuts_only_worn"] = rework["id"] == "cap" or dice.random() < 0.2
    return catalogue


def _used(dice: random.Random, attachment: Told) -> Told:
    """It wears, is renewed, and holds in a band of its own; some gain with use."""
    months, low = dice.choice([6, 12, 24]), dice.choice([1.5, 3.0, 5.5, 9.0])
    service = {
        "what": "renew", "months": [months, months + 6], "price": {"low": 3, "high": 5, "source": INVENTED},
        "work": {"chair": [5, 10], "source": INVENTED}, "source": INVENTED,
    }  # fmt: skip
    return {
        "wear": _wear(dice, (0.1, 0.4), (0.0, 0.05), (-0.2, -0.1), (0.3, 0.7)) if dice.random() < 0.7 else None,
        "service": service if dice.random() < 0.7 else None,
        "retention_n": {"low": low, "high": low * dice.choice([1.2, 2, 3]), "source": INVENTED},
        "movement": attachment["movement"] | {"down_mm": dice.choice([0, 0, 0.15, 0.3]), "hinge_deg": "free"},
    }


def _wear(dice: random.Random, *losses: tuple[float, float]) -> Told:
    return {"loss": dice.choice(losses), "cycles": dice.choice([1500, 5400]), "source": INVENTED}


def _figure(dice: random.Random, *values: float) -> Told:
    return {"value": dice.choice(values), "source": INVENTED}


def _tiers(dice: random.Random) -> Told:
    stopgap = {
        "promise": "stays in", "centre_n": _figure(dice, 0.5, 1.5), "front_n": _figure(dice, 0, 0.5),
        "sides_n": _figure(dice, 0, 0.5),
    }  # fmt: skip
    usual = {
        "promise": "what most deliver", "centre_n": _figure(dice, 1, 3), "front_n": _figure(dice, 0.6, 1.7),
        "sides_n": _figure(dice, 0.4, 1.2), "sides_many_n": _figure(dice, 0.8, 2.5),
        "many_supports": _figure(dice, 4), "spread": _figure(dice, 0, 0.3, 0.6),
        "even": _figure(dice, 0, 0.5, 0.8), "until_renewal": dice.random() < 0.6,
    }  # fmt: skip
    return {"stopgap": stopgap, "usual": usual, "firm": {"promise": "the firmest"}}


def _preferences(dice: random.Random) -> Told:
    return {
        "alike_saves": _figure(dice, 0.1, 0.3, 0.6), "whole_bar_saves": _figure(dice, 0, 0.33, 0.6),
        "in_kind": _figure(dice, 0.5, 0.8), "about_nothing_n": _figure(dice, 0.5),
        "three_points_saves": _figure(aside(dice), 0, 0.2, 0.4),
    }  # fmt: skip


def _symmetric(dice: random.Random, case: Told, catalogue: Told) -> None:
    _even_out(dice, case)
    catalogue["defaults"]["preferences"]["alike_saves"] = _figure(dice, 0.3, 0.6)


def _firm(dice: random.Random, case: Told, catalogue: Told) -> None:
    """Parts that hold hard, in weak hands."""
    case["wanted"]["most_n"] = dice.choice([None, None, 4, 8])
    case["patient"]["hand"] = dice.choice(["weak", "weak", "usual"])
    for attachment in catalogue["attachments"].values():
        if attachment["kind"] != "bare":
            low = dice.choice([3.0, 9.0, 16.0])
            attachment["retention_n"] = {"low": low, "high": low * dice.choice([1.1, 2, 3]), "source": INVENTED}


def _worn(dice: random.Random, case: Told, catalogue: Told) -> None:
    """All of it wears fast, and the promise lasts until it is renewed."""
    catalogue["defaults"]["tiers"]["usual"]["until_renewal"] = True
    case["wanted"]["hold_n"] = None
    for attachment in catalogue["attachments"].values():
        if attachment["kind"] != "bare":
            attachment["wear"] = _wear(dice, (0.1, 0.4), (0.3, 0.7), (0.0, 0.9), (-0.3, 0.1))


def _off(dice: random.Random, case: Told, catalogue: Told) -> None:
    """Studs and magnets on supports; mostly there is no bar."""
    if dice.random() < 0.7:
        case |= {"segments": {}, "ends": {}}
    case["allowed"]["bar_off"] = True
    for support in case["supports"].values():
        support |= {"connection": "documented", "space_mm": 13}
    for name in ("low-stud", "stud", "high-stud"):
        stud = entry(
            name, "stud", ["support"], steps=["take-bar-off"], stack={"part": 2, "source": INVENTED},
            price={"low": 9, "high": dice.choice([12, 30, 47.5]), "source": INVENTED},
        )  # fmt: skip
        stud["movement"] = {"hinge_deg": 12, "tip_deg": 12, "turn_deg": "free", "source": INVENTED}
        catalogue["attachments"][name] = stud | _used(dice, stud)


def _whole(dice: random.Random, case: Told, catalogue: Told) -> None:
    """Sound bars of little undercut: the parts that hold best want them cut, and cutting is allowed."""
    catalogue["defaults"]["preferences"]["whole_bar_saves"] = _figure(dice, 0.1, 0.33, 0.6)
    case["allowed"] |= {"cut_bar": True, "weld": True, "send_out": True}
    case["bar"] = {"fixing": "screwed", "screws": "tight"}
    for segment in case["segments"].values():
        segment |= {"undercut_mm": dice.choice([0.0, 0.1, 0.35]), "width_mm": 2.4}


BENDS = {"symmetric": _symmetric, "firm": _firm, "worn": _worn, "off": _off, "whole bar": _whole}
"""What a world can be bent towards."""
