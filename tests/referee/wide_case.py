"""The random cases dressed further: every kind and section, other money, silent cases, more waivers."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.audit.second_opinion.world import World
from solver.case.schema import PULLS, Case
from tests.referee.random_case import INVENTED, entry, random_world

WAIVE = {"up_to": 0.5, "how": "live with it", "source": INVENTED}


def wide_world(seed: int) -> World:
    """The world of a seed; the same seed gives the same world."""
    dice = random.Random(f"wide {seed}")
    plain = random_world(seed)
    catalogue = _catalogue(dice, plain.catalogue.model_dump(mode="json"))
    if seed % 5 == 1:  # no end can be made safe and no bar comes off: physics alone may be against every mix
        _take_out(catalogue, "end" if seed % 10 == 1 else "support")
    if seed % 4 == 3:
        _line(random.Random(f"lining {seed}"), catalogue["attachments"])
    if seed % 6 == 2:
        _add_steps(random.Random(f"own steps {seed}"), catalogue["attachments"])
    case = _case(dice, plain.case.model_dump(mode="json"), keeps_few="bar_off" if seed % 5 == 0 else "")
    case["denture"] |= _ends(random.Random(f"ends {seed}"), case["arch"])
    if seed % 10 == 5:  # a bar that is gone: nothing is to be allowed for its supports
        case |= {"segments": {}, "ends": {}, "allowed": {**case["allowed"], "bar_off": False}}
    return World(Case.model_validate(case, strict=False), Catalogue.model_validate(catalogue, strict=False))


def _take_out(catalogue: dict[str, Any], site: str) -> None:
    """Nothing is made for these sites, nor for supports; ends stay as they are."""
    kept = {
        name: entry for name, entry in catalogue["attachments"].items() if not {site, "support"} & set(entry["at"])
    }
    catalogue["attachments"] = {name: entry for name, entry in kept.items() if name != "cut"}


def _line(dice: random.Random, attachments: dict[str, Any]) -> None:
    """One of the parts for a stretch is a lining, to be fitted by itself."""
    clips = [each for each in attachments.values() if each["kind"] == "clip" and "segment" in each["at"]]
    if clips:
        dice.choice(clips)["kind"] = "lining"


def _add_steps(dice: random.Random, attachments: dict[str, Any]) -> None:
    """Some parts always come with a step that others may do without; done twice it would do what once does not."""
    narrow = {"of": "width_mm", "at_most": 1.9, "source": INVENTED}
    for attachment in attachments.values():
        if attachment["kind"] != "bare" and "segment" in attachment["at"] and dice.random() < 0.5:
            attachment["steps"] = [*attachment["steps"], dice.choice(["slim", "slim", "deepen", "lower"])]
            attachment["needs"] = [*(n for n in attachment.get("needs", ()) if n["of"] != "width_mm"), narrow]


def _case(dice: random.Random, case: dict[str, Any], keeps_few: str) -> dict[str, Any]:
    case["opposing"] = dice.choice(["denture", "natural", "implants", "unknown"])
    case["patient"] |= {
        "hand": dice.choice(["unknown", "weak", "usual", "strong"]),
        "sensitivities": dice.choice([[], [], ["Nickel"], ["cobalt"]]),
    }
    case["wanted"] |= _wanted(dice, case["wanted"])
    case["denture"] |= _denture(dice, case["arch"])
    case["money"] |= _money(dice)
    for segment in case["segments"].values():
        segment |= {
            "section": dice.choice(["round", "round", "ovoid", "parallel", "keyhole", "unknown"]),
            "alloy": dice.choice(["titanium-alloy", "titanium", "gold", "cobalt-chromium", "unknown"]),
            "room_mm": dice.choice(["unknown", "unknown", 8.5, "7 +- 0.4"]),
            "length_mm": dice.choice([None, None, 9.5, "6 +- 0.5"]),
        }
    for support in case["supports"].values():
        support |= {
            "diameter_mm": dice.choice([None, 3.5]),
            "space_mm": dice.choice(["unknown", "unknown", 11.5, 13]),
        }
    if (loose := random.Random(f"loose {sorted(case['supports'])} {case['money']['cap']}")).random() < 0.15:
        case["supports"][loose.choice(sorted(case["supports"]))]["mobility"] = "loose"
    if keeps_few:  # supports to be used by themselves
        case["allowed"]["bar_off"] = True
        case["wanted"]["movement"] = dict.fromkeys(case["wanted"]["movement"], 0.5)
    return case


def _wanted(dice: random.Random, given: dict[str, Any]) -> dict[str, Any]:
    pulls = {name: dice.choice([0.3, 1, 2]) for name in PULLS if dice.random() < 0.15}
    return {
        "level_n": dice.choice([given["level_n"], None, 2]),
        "most_n": dice.choice([given["most_n"], None]),
        "pull_n": pulls,
        "movement": {name: share for name, share in given["movement"].items() if dice.random() < 0.9},
    }


def _denture(dice: random.Random, arch: str) -> dict[str, Any]:
    left, right = ((35, 45), (36, 46)) if arch == "lower" else ((25, 15), (26, 16))
    spots = dice.choice(
        [{}, {}, {"left": left[0], "right": left[1], "front": None}, {"left": None, "right": right[1]}]
    )
    return {
        "settling_mm": dice.choice([0.2, "unknown", "0.3 +- 0.1"]),
        "acrylic_mm": dice.choice([None, None, 1.5]),
        "tooth_mm": dice.choice([None, None, 3]),
        **spots,
    }


def _ends(dice: random.Random, arch: str) -> dict[str, Any]:
    """Where the base ends behind and is bitten, in some cases."""
    left, right = (37, 47) if arch == "lower" else (27, 17)
    return {
        "heel_left": dice.choice([None, None, None, left, left - 1, [26, -9]]),
        "heel_right": dice.choice([None, None, None, right, [-25, -14]]),
        "bitten_left": dice.choice([None, None, left - 2]),
    }


def _money(dice: random.Random) -> dict[str, Any]:
    currency, exchange, scale = dice.choice(
        [("EUR", None, 1), ("EUR", None, 1), ("JPY", 163.7, 160), ("KWD", 0.3391, 0.3)]
    )
    cap = dice.choice([None, None, 60, 150, 400])
    return {
        "currency": currency,
        "exchange": exchange,
        "cap": None if cap is None else round(cap * scale),
        "bench_per_hour": 45 * scale,
        "chair_per_hour": 95.5 * scale,
    }


def _catalogue(dice: random.Random, catalogue: dict[str, Any]) -> dict[str, Any]:
    for attachment in catalogue["attachments"].values():
        for need in attachment["needs"]:
            if dice.random() < 0.25:
                need["waive"] = WAIVE
    catalogue["attachments"] |= {
        "keeper": _magnet(dice, "keeper", "segment", ["weld-keeper"]),
        "magnet-post": _magnet(dice, "magnet-post", "support", ["take-bar-off"]),
        "screwed-stud": entry(
            "screwed-stud", "stud", ["segment"], steps=["thread"], retention_n=_band(dice.choice([3, 8])),
            stack={"part": 1.5, "source": INVENTED}, price=_band(dice.choice([18, 44.44])),
            movement={"hinge_deg": 8, "tip_deg": 8, "down_mm": dice.choice([0, 0.3]), "turn_deg": "free"},
        ),
    }  # fmt: skip
    catalogue["reworks"] |= {
        "weld-keeper": _step("weld-keeper", 25, permissions=["weld", "send_out"], needs=[_alloy()]),
        "thread": _step(
            "thread", 12, permissions=["cut_bar"], hole_mm={"value": dice.choice([1.4, 2]), "source": INVENTED}
        ),
        "lower": _step(
            "lower", 6, permissions=["cut_bar"], changes={"room_mm": 0.4, "height_mm": -0.4}, always_with=False
        ),
    }
    return catalogue


def _magnet(dice: random.Random, name: str, site: str, steps: list[str]) -> dict[str, Any]:
    return entry(
        name, "magnet", [site], steps=steps, magnetic=True, retention_n=_band(dice.choice([2, 4.5, 6])),
        stack={"part": 1.5, "source": INVENTED}, price=_band(dice.choice([9, 30, 55])),
        movement={"slide_mm": "free", "sideways_mm": "free", "down_mm": 0.2, "hinge_deg": "free", "tip_deg": "free",
                  "turn_deg": "free"},
    )  # fmt: skip


def _alloy() -> dict[str, Any]:
    return {"of": "alloy", "one_of": ["gold", "cobalt-chromium"], "source": INVENTED}


def _band(low: float) -> dict[str, Any]:
    return {"low": low, "high": low + 1, "source": INVENTED}


def _step(name: str, price: float, **more: Any) -> dict[str, Any]:
    return {
        "id": name, "name": name, "at": ["segment"], "source": INVENTED, "always_with": True,
        "price": _band(price), "work": {"chair": [5, 15], "source": INVENTED}, **more,
    }  # fmt: skip
