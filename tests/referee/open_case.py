"""The random cases with much left open: figures of the whole case, of one bar, of a site, rough or not known."""

from __future__ import annotations

import random
from typing import Any

from catalogue.models import Catalogue
from solver.audit.second_opinion.world import World
from solver.case.schema import Case
from tests.referee.random_case import INVENTED, random_world
from tests.referee.wide_case import wide_world

OPEN = "unknown"


def open_world(seed: int) -> World:
    """The world of a seed; the same seed gives the same world."""
    dice = random.Random(f"open {seed}")
    plain = wide_world(seed) if seed % 2 else random_world(seed)
    case = _case(dice, plain.case.model_dump(mode="json"))
    catalogue = _catalogue(dice, plain.catalogue.model_dump(mode="json"))
    return World(Case.model_validate(case, strict=False), Catalogue.model_validate(catalogue, strict=False))


def _case(dice: random.Random, case: dict[str, Any]) -> dict[str, Any]:
    case["room"] = {
        "space_mm": dice.choice([12, 14, OPEN, "12 +- 1.5"]),
        "top_mm": dice.choice([4, 5, OPEN, "5 +- 0.5"]),
        "room_mm": dice.choice([OPEN, OPEN, OPEN, "8 +- 1"]),
        "breadth_mm": dice.choice([OPEN, OPEN, 8, 11, "9 +- 1"]),
    }
    for segment in case["segments"].values():
        segment |= {
            "gap_mm": dice.choice([OPEN, OPEN, 2, "1 +- 0.3"]),
            "width_mm": dice.choice([OPEN, OPEN, 1.8, 2.6, "1.8 +- 0.2"]),
            "undercut_mm": dice.choice([OPEN, OPEN, 0.1, 0.4, "0.3 +- 0.1"]),
            "height_mm": dice.choice([OPEN, 1.8, 3.2, "3 +- 0.2"]),
            "section": dice.choice(["round", "round", "parallel", OPEN]),
            "proof_mpa": dice.choice([OPEN, OPEN, 420, "500 +- 80"]),
        }
    for end in case["ends"].values():
        end |= {
            "ball_mm": dice.choice([OPEN, OPEN, 1.9, "2.2 +- 0.1"]),
            "top_mm": dice.choice([OPEN, OPEN, 4, "5 +- 1"]),
            "breadth_mm": dice.choice([OPEN, OPEN, OPEN, "9 +- 1"]),
        }
    for support in case["supports"].values():
        support |= {"room_mm": dice.choice([OPEN, 9]), "top_mm": dice.choice([OPEN, 2])}
    case["patient"]["scans_expected"] = dice.choice(["no", OPEN, OPEN])
    case["money"]["cap"] = None
    case["wanted"] |= {"hold_n": dice.choice([0.5, 1, 3]), "most_n": None, "pull_n": {}}
    case["wanted"]["movement"] = dict.fromkeys(case["wanted"]["movement"], dice.choice([0, 0.5]))
    return case


def _catalogue(dice: random.Random, catalogue: dict[str, Any]) -> dict[str, Any]:
    for attachment in catalogue["attachments"].values():
        if attachment["kind"] == "bare":
            continue
        more = [{"of": "breadth_mm", "at_least": dice.choice([8.5, 9.5])}]
        if "segment" in attachment["at"]:
            more += [
                {"of": "gap_mm", "at_least": 1},
                {"of": "width_mm", "at_least": 1.7, "at_most": dice.choice([2.0, 2.5])},
                {"of": "alloy", "one_of": ["gold", "titanium"]},
            ]
        taken = {need["of"] for need in attachment["needs"]}
        attachment["needs"] += [
            {**need, "source": INVENTED} for need in more if need["of"] not in taken and dice.random() < 0.4
        ]
    return catalogue
